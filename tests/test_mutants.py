"""Mutation runs complete, and all listed equivalent mutants match existing lines."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests.mutants.__main__ import _sources
from tests.mutants.parts import PARTS

ROOT = Path(__file__).parent.parent
LISTS = ROOT / "tests" / "mutants"
LIMIT_S = 300
ONE_OF_EACH = {
    "server": (
        [sys.executable, "-m", "tests.mutants", "labels", "--file", "numbers.py", "--sample", "1"],
        r"labels +1 +0 +100\.0",
    ),
    "client": (
        ["node", "tests/mutants/run.mjs", "--files", "store/merge", "--sample", "1"],
        r"all +1 +0 +100\.0",
    ),
}


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


def test_server_mutants_include_files_of_subfolders() -> None:
    assert "webapp/palate/fit/posterior.py" in _sources(PARTS["palate"])


@pytest.mark.extended
@pytest.mark.parametrize("side", ONE_OF_EACH)
def test_mutation_run_kills_a_mutant(side: str) -> None:
    command, row = ONE_OF_EACH[side]
    run = subprocess.run(
        command, cwd=ROOT, capture_output=True, text=True, timeout=LIMIT_S, check=False
    )
    assert run.returncode == 0, run.stdout + run.stderr
    assert re.search(row, run.stdout), run.stdout
