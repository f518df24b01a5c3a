"""Generator of recorded_report.json: `python -m tests.palate.record_report`.

It contains the palate documents of invented notebooks, as the server sends them to phones.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from tests.palate.examples import STYLES
from tests.palate.use.test_report import TODAY, book
from webapp.palate.use.report import palate_report

FILE = Path(__file__).parent / "recorded_report.json"
DECIMALS = 6
DOTS = 4
BOOKS: dict[str, dict[str, int]] = {
    "young": {"n": 6},
    "grown": {"n": 60},
    "grown within a year": {"n": 45, "seed": 5, "repeat_every": 4, "days": 300},
}


def document(name: str) -> dict[str, Any]:
    """Return the document of a notebook, with only the latest points of each target."""
    found = palate_report(*book(**BOOKS[name]), STYLES, TODAY)
    for target in found["targets"]:
        target["dots"] = target["dots"][:DOTS]
    return found


def rounded(value: Any) -> Any:
    """Round all floats and turn tuples into lists, as JSON stores them."""
    if isinstance(value, float):
        return round(value, DECIMALS)
    if isinstance(value, dict):
        return {name: rounded(inner) for name, inner in value.items()}
    return [rounded(inner) for inner in value] if isinstance(value, list | tuple) else value


if __name__ == "__main__":
    kept = {name: rounded(document(name)) for name in BOOKS}
    lines = [f"{json.dumps(name)}: {json.dumps(values)}" for name, values in kept.items()]
    FILE.write_text("{\n" + ",\n".join(lines) + "\n}\n", encoding="utf-8")
