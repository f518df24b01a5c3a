"""Plain tables on standard output."""

from __future__ import annotations

from collections.abc import Mapping, Sequence


def print_table(title: str, columns: Sequence[object], rows: Mapping[str, Sequence[float]]) -> None:
    """Print one line per row with three decimals; NaN prints as a dash."""
    print(f"\n{title}")
    print(f"{'':34}" + "".join(f"{column!s:>9}" for column in columns))
    for name, values in rows.items():
        cells = "".join("        -" if value != value else f"{value:9.3f}" for value in values)
        print(f"{name:34}{cells}", flush=True)
