"""Mapping of wine names to styles: no wrong style is returned as certain."""

import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
NODE = shutil.which("node")
FEWEST_NAMES = 2500
# Styles defined by how the wine is made, which no place or grape identifies.
NAMED_BY_NO_PLACE_OR_GRAPE = {
    "red_carbonic_light",
    "swt_late_harvest_nw",
}

needs_node = pytest.mark.skipif(NODE is None, reason="needs Node")


def run(*arguments: str) -> Any:
    assert NODE is not None
    done = subprocess.run(
        [NODE, *arguments], cwd=ROOT, capture_output=True, text=True, check=True, timeout=60
    )
    return json.loads(done.stdout)


@needs_node
def test_names_certain_answers_are_right() -> None:
    found = run("tests/names/accuracy.mjs")
    assert [row for part in found.values() for row in part["wrongCertain"]] == []


@needs_node
def test_names_famous_wines_are_all_right() -> None:
    famous = run("tests/names/accuracy.mjs")["famous"]
    assert famous["count"] == 36
    assert famous["wrong"] == []


@needs_node
def test_names_held_out_set_reaches_the_target() -> None:
    value = run("tests/names/accuracy.mjs")["held"]
    assert value["count"] >= 50
    assert value["top1"] >= 97
    assert value["top3"] >= 99


@needs_node
@pytest.mark.parametrize("name", ["second", "third"])
def test_names_later_lists_reach_the_target(name: str) -> None:
    found = run("tests/names/accuracy.mjs")[name]
    assert found["count"] >= 150
    assert found["top1"] >= 97
    assert found["top3"] >= 99


def test_names_table_refers_to_known_styles() -> None:
    table = json.loads((ROOT / "static/spec/wine_names.json").read_text("utf-8"))
    styles = json.loads((ROOT / "static/spec/styles.json").read_text("utf-8"))["styles"]
    known = {style["style_id"] for style in styles} | {"-"}
    groups = table["groups"]
    items = ("styles", "by", "sweet", "terms", "unoaked")
    named = {style for group in groups for by in items for style in group.get(by, {}).values()}
    named |= {style for group in groups for style in group.get("may", [])}
    names = [name.casefold() for group in groups for name in group["names"]]
    assert named <= known
    assert known - named <= NAMED_BY_NO_PLACE_OR_GRAPE
    assert {group["source"] for group in groups} <= table["sources"].keys()
    assert len(names) == len(set(names)) >= FEWEST_NAMES
