"""Styles and their places have names in every language."""

from __future__ import annotations

import json
from typing import Any

from webapp import spec

STYLES: list[dict[str, Any]] = spec.load("styles")["styles"]
LANGUAGES = spec.vocabulary("language")


def names(language: str) -> dict[str, str]:
    file = spec.static_root() / "words" / language / "styles.json"
    loaded: dict[str, str] = json.loads(file.read_text("utf-8"))
    return loaded


def test_only_styles_and_regions_have_names() -> None:
    # Intl names whole countries, such as "NZ".
    places = {place for style in STYLES for place in style["regions"] if len(place) > 2}
    wanted = {f"style.{style['style_id']}" for style in STYLES} | {f"region.{p}" for p in places}
    assert {
        language: wanted ^ names(language).keys()
        for language in LANGUAGES
        if names(language).keys() != wanted
    } == {}


def test_no_two_styles_have_the_same_name() -> None:
    repeated = []
    for language in LANGUAGES:
        named = [text for key, text in names(language).items() if key.startswith("style.")]
        repeated += [(language, text) for text in set(named) if named.count(text) > 1]
    assert repeated == []


def test_countries_of_a_style_are_those_of_its_regions() -> None:
    """The client computes them."""
    for style in STYLES:
        countries = [place[:2] for place in style["regions"] if place != "worldwide"]
        assert style["countries"] == list(dict.fromkeys(countries)), style["style_id"]


def test_grape_synonyms_are_of_known_grapes() -> None:
    grapes = {grape for style in STYLES for grape in style["grapes"]}
    assert spec.load("styles")["grapes_also_called"].keys() <= grapes
