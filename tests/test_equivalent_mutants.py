"""The mutants listed as equivalent are of lines that the sources still have."""

from __future__ import annotations

import json
from pathlib import Path

ROOT = Path(__file__).parent.parent
LISTS = ROOT / "tests" / "mutants"


def lines_of(path: Path) -> set[str]:
    return (
        {line.strip() for line in path.read_text("utf-8").splitlines()} if path.is_file() else set()
    )


def test_equivalent_client_mutants_name_living_lines() -> None:
    listed = json.loads((LISTS / "allowed.json").read_text("utf-8"))
    gone = [one for one in listed if one["code"] not in lines_of(ROOT / "static" / one["file"])]
    assert listed
    assert gone == []


def test_equivalent_server_mutants_name_living_lines() -> None:
    listed = json.loads((LISTS / "equivalent.json").read_text("utf-8"))
    gone = [one for one in listed if one["line"] not in lines_of(ROOT / one["file"])]
    assert listed
    assert gone == []
