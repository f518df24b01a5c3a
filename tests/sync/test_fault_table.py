"""The tests that the fault table of the sync guide names for each fault exist."""

from __future__ import annotations

import re
from pathlib import Path

from tests.named_tests import functions_of

ROOT = Path(__file__).resolve().parents[2]
GUIDE = ROOT / "webapp" / "sync" / "README.md"
FAULTS = 38
_LINE = re.compile(r"^- F(\d+) .*$", re.MULTILINE)
_NAMED = re.compile(r"`(tests/[\w/]+\.py)::(\w+)`")


def table() -> dict[int, list[tuple[str, str]]]:
    """Return {number of the fault: [(file, test)]}."""
    text = GUIDE.read_text(encoding="utf-8")
    section = text.split("\n## Fault table", 1)[1].split("\n## ", 1)[0]
    return {int(line[1]): _NAMED.findall(line[0]) for line in _LINE.finditer(section)}


def test_every_fault_has_its_line() -> None:
    assert [*table()] == [*range(1, FAULTS + 1)]


def test_every_fault_names_existing_tests() -> None:
    assert [f"F{number}" for number, named in table().items() if not named] == []
    assert [
        f"F{number}: {file}::{test}"
        for number, named in table().items()
        for file, test in named
        if test not in functions_of(file)
    ] == []
