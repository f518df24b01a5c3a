"""Recorded times of test files, which let the longest start first to balance the workers.

`python -m tests.recorded_times report.xml` records the times of a run with `--junitxml=report.xml`.
"""

from __future__ import annotations

import json
import sys
from collections import defaultdict
from collections.abc import Collection, Iterable
from pathlib import Path
from xml.etree import ElementTree

ROOT = Path(__file__).resolve().parents[1]
RECORD = Path(__file__).with_suffix(".json")
# Files without a recorded time are assumed to be slow, so that they start early.
UNKNOWN_S = 15.0
# Places in the order: of the first file that waits, and from each to the next.
FIRST_WAIT = 4
WAITS_APART = 16


def recorded() -> dict[str, float]:
    """Return {file: seconds} with paths as in pytest."""
    times: dict[str, float] = json.loads(RECORD.read_text(encoding="utf-8"))
    return times


def seconds_of(file: str, times: dict[str, float]) -> float:
    return times.get(file, UNKNOWN_S)


def in_order(files: Iterable[str], waiting: Collection[str]) -> list[str]:
    """Sort test files by time, longest first, with those that wait far from each other.

    If two of them ran at the same time, a processor would be idle.
    """
    times = recorded()
    longest_first = sorted(files, key=lambda file: -seconds_of(file, times))
    ordered = [file for file in longest_first if file not in waiting]
    for at, file in enumerate(file for file in longest_first if file in waiting):
        ordered.insert(FIRST_WAIT + at * WAITS_APART, file)
    return ordered


def times_in(report: Path) -> dict[str, float]:
    """Return the seconds of each file in a JUnit report."""
    times: dict[str, float] = defaultdict(float)
    for case in ElementTree.parse(report).iter("testcase"):
        file = case.attrib["classname"].replace(".", "/") + ".py"
        times[file] += float(case.attrib["time"])
    return {file: round(took, 1) for file, took in sorted(times.items())}


def main(report: Path) -> None:
    """Record a report; keep the times of existing files that are not in it."""
    times = {**recorded(), **times_in(report)}
    times = {file: took for file, took in sorted(times.items()) if (ROOT / file).exists()}
    RECORD.write_text(json.dumps(times, indent=0) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
