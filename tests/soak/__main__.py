"""`python -m tests.soak --seconds 60`: 50 owners on PostgreSQL, then eight threads on SQLite."""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path

from tests.soak.guests import live_together
from tests.soak.houses import postgres_house, sqlite_house

HOUSES = {"postgresql, 4 workers": (postgres_house, 50), "sqlite, 8 threads": (sqlite_house, 8)}
SHOWN = 10


def main() -> int:
    """Print a line a server; 1 where anything was wrong."""
    parser = argparse.ArgumentParser(prog="python -m tests.soak", description=__doc__)
    parser.add_argument("--seconds", type=float, default=60)
    given = parser.parse_args()
    wrong = 0
    for name, (house_of, owners) in HOUSES.items():
        with (
            tempfile.TemporaryDirectory() as folder,
            house_of(Path(folder), owners) as house,
        ):
            total = live_together(house, given.seconds)
            locked = house.log.read_text(errors="replace").count("is locked")
        print(
            f"{name}: {owners} owners, {total.requests} requests, {total.changes} changes,"
            f" {total.records} records, {len(total.faults)} faults, {locked} times 'is locked'",
            flush=True,
        )
        for fault in total.faults[:SHOWN]:
            print("  " + fault)
        wrong += len(total.faults)
    return int(wrong > 0)


if __name__ == "__main__":
    sys.exit(main())
