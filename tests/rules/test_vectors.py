"""The Python functions give the expected results of all vectors in ``tests/vectors``."""

import importlib
import json
import math
from collections.abc import Callable, Iterator
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest

VECTORS = Path(__file__).parent.parent / "vectors"
STATUSES = {"seen", "memory", "computed", "common-practice"}


def revive(value: dict[str, Any]) -> Any:
    """Decode ``{"number": "NaN"}``, as vectors write NaN and infinity, which JSON lacks."""
    if value.keys() == {"number"} and isinstance(value["number"], str):
        return float(value["number"])
    return value


def mirrored_files() -> Iterator[tuple[str, dict[str, Any]]]:
    for path in sorted(VECTORS.glob("*.json")):
        content = json.loads(path.read_text("utf-8"), object_hook=revive)
        if "python" in content and all("args" in t for g in content["groups"] for t in g["tests"]):
            yield path.stem, content


def groups() -> Iterator[Any]:
    for stem, content in mirrored_files():
        for group in content["groups"]:
            name = f"{stem}: {group['description']}"
            yield pytest.param(
                content["python"], group["tests"], content.get("tolerance", 0), id=name
            )


def same(found: Any, expected: Any, tolerance: float) -> bool:
    if isinstance(expected, bool) or expected is None or isinstance(expected, str):
        return type(found) is type(expected) and bool(found == expected)
    if isinstance(expected, (int, float)):
        if isinstance(found, bool) or not isinstance(found, (int, float)):
            return False
        return math.isfinite(found) and abs(found - expected) <= tolerance
    if isinstance(expected, list):
        return (
            isinstance(found, (list, tuple))
            and len(found) == len(expected)
            and all(same(f, e, tolerance) for f, e in zip(found, expected, strict=True))
        )
    return (
        isinstance(found, dict)
        and found.keys() == expected.keys()
        and all(same(found[name], expected[name], tolerance) for name in expected)
    )


def function(path: str) -> Callable[..., Any]:
    module, _, name = path.partition(":")
    found: Callable[..., Any] = getattr(importlib.import_module(module), name)
    return found


def answer(path: str, test: dict[str, Any]) -> Any:
    try:
        return function(path)(*deepcopy(test["args"]))
    except Exception as error:
        code = getattr(error, "code", None)
        if code is None or not isinstance(error, ValueError):
            error.add_note(f"Vector: {test['description']}")
            raise
        return {"error": code}


@pytest.mark.parametrize(("path", "tests", "tolerance"), list(groups()))
def test_python_rules_match_the_vectors(
    path: str, tests: list[dict[str, Any]], tolerance: float
) -> None:
    found = [(test, answer(path, test)) for test in tests]
    assert [
        (test["description"], got, test["expected"])
        for test, got in found
        if not same(got, test["expected"], test.get("tolerance", tolerance))
    ] == []


def test_every_trade_vector_names_its_source_and_status() -> None:
    contents = [
        one
        for one in mirrored_files()
        if one[1]["python"].startswith(("tests.reference.rules.", "webapp.rules."))
    ]
    assert contents
    ported = [(stem, content["js"]) for stem, content in contents if "js" in content]
    assert ported
    assert [stem for stem, path in ported if not path.startswith(("rules/", "lib/"))] == []
    assert [
        (stem, test["description"])
        for stem, content in contents
        for group in content["groups"]
        for test in group["tests"]
        if not test["source"] or test["status"] not in STATUSES
    ] == []


@pytest.mark.parametrize(
    ("found", "expected"),
    [(True, 1), (1, True), (None, 0), ({}, {"a": None}), ([1], [1, 2]), (math.nan, 1.0), ("1", 1)],
)
def test_vector_comparison_distinguishes_json_types(found: Any, expected: Any) -> None:
    assert not same(found, expected, 0.5)
