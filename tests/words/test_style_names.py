"""Styles and their places have names in every language."""

from __future__ import annotations

import json
from typing import Any

import pytest

from webapp import spec

STYLES: list[dict[str, Any]] = spec.load("styles")["styles"]
LANGUAGES = spec.vocabulary("language")


def names(language: str) -> dict[str, str]:
    file = spec.static_root() / "words" / language / "styles.json"
    loaded: dict[str, str] = json.loads(file.read_text("utf-8"))
    return loaded


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_style_and_every_region_has_a_name_and_no_other_has(language: str) -> None:
    # A whole country, such as "NZ", is named by Intl.
    places = {place for style in STYLES for place in style["regions"] if len(place) > 2}
    wanted = {f"style.{style['style_id']}" for style in STYLES} | {f"region.{p}" for p in places}
    assert names(language).keys() == wanted


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_two_styles_go_by_one_name(language: str) -> None:
    named = [text for key, text in names(language).items() if key.startswith("style.")]
    assert sorted({text for text in named if named.count(text) > 1}) == []


@pytest.mark.parametrize("style", STYLES, ids=lambda style: str(style["style_id"]))
def test_a_place_lies_in_one_of_the_countries_of_its_style(style: dict[str, Any]) -> None:
    countries = {place[:2] for place in style["regions"] if place != "worldwide"}
    assert countries <= set(style["countries"])


def test_only_grapes_of_the_styles_go_by_other_names() -> None:
    grapes = {grape for style in STYLES for grape in style["grapes"]}
    assert spec.load("styles")["grapes_also_called"].keys() <= grapes
