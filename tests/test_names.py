"""Test names are `test_<subject>_<behaviour>` and short; tests of the browser tap by the helper."""

from __future__ import annotations

import ast
import re
from collections import Counter
from pathlib import Path

TESTS = Path(__file__).parent
MAX_LENGTH = 60
NAME = re.compile(r"test_[a-z0-9][a-z0-9_]*")
VALUE = re.compile(r"\$\{.*?\}")
TITLE = re.compile(r"\btest\(\s*(['\"`])(.*?)\1", re.DOTALL)


def python_names(source: str) -> list[str]:
    functions = (ast.FunctionDef, ast.AsyncFunctionDef)
    nodes = ast.walk(ast.parse(source))
    names = [node.name for node in nodes if isinstance(node, functions)]
    return [name for name in names if name.startswith("test")]


def name_errors(names: list[str]) -> list[str]:
    repeated = [name for name, count in Counter(names).items() if count > 1]
    wrong = [name for name in names if len(name) > MAX_LENGTH or not NAME.fullmatch(name)]
    return sorted({*repeated, *wrong})


def test_python_test_names_are_short_and_unique() -> None:
    wrong = {
        str(path.relative_to(TESTS)): errors
        for path in TESTS.rglob("*.py")
        if (errors := name_errors(python_names(path.read_text("utf-8"))))
    }
    assert wrong == {}


def test_node_test_titles_are_short() -> None:
    titles = {
        VALUE.sub("", title): path.name
        for path in (TESTS / "node").glob("*.test.mjs")
        for _, title in TITLE.findall(path.read_text("utf-8"))
    }
    assert titles
    assert {title: file for title, file in titles.items() if len(title) > MAX_LENGTH} == {}


def test_name_errors_are_found() -> None:
    source = "def test_A(): ...\ndef test_x(): ...\ndef test_x(): ...\nasync def test_y(): ...\n"
    names = [*python_names(source), "test_" + "z" * 56]
    assert name_errors(names) == sorted({"test_A", "test_x", "test_" + "z" * 56})


def test_browser_tests_tap_by_the_helper() -> None:
    files = [path for path in (TESTS / "browser").rglob("*.py") if path.name != "engines.py"]
    assert files
    assert [path.name for path in files if ".tap(" in path.read_text("utf-8")] == []
