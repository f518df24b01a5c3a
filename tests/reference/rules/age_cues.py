"""Cues of age in a tasting, and their likelihoods over the bands of years."""

import math
import re
from collections.abc import Mapping, Sequence
from typing import Any

from webapp import spec
from webapp.rules.nose import aroma_family, noted_aromas
from webapp.rules.numbers import number

Bands = list[float]
# colour -> cue -> value -> number of confirmed bottles in each band
LearnedCues = dict[str, dict[str, dict[str, list[int]]]]

LOOKS = (("hue", "look_hue"), ("rim", "look_rim"), ("gradation", "look_gradation"))


def wine_colour(tasting: Mapping[str, object], bottle: Mapping[str, object]) -> str | None:
    """Return the bottle's colour, or that of the hue if unknown, as in a blind tasting."""
    colour = bottle.get("colour")
    if isinstance(colour, str):
        return colour
    hue = tasting.get("look_hue")
    seen = (each["colour"] for each in spec.load("hues")["hues"] if each["id"] == hue)
    return next(seen, None)


def informative_cues(
    tasting: Mapping[str, object], colour: str | None, style: Mapping[str, Any] | None
) -> dict[str, str]:
    """Return the cues of a tasting: hue, rim, gradation, fruit_state, aged_words."""
    found = {sign: tasting.get(field) for sign, field in (*LOOKS, ("fruit_state", "fruit_state"))}
    named = {sign: value for sign, value in found.items() if isinstance(value, str)}
    aged = _aged_words(tasting, style)
    return named if aged is None or colour is None else {**named, "aged_words": aged}


def ignored_cues(kind: object, colour: str | None, style: Mapping[str, Any] | None) -> set[str]:
    """Return the cues that depend on the method, not on age, for that kind, colour or style."""
    rules = spec.load("evidence")["age"]["says_nothing"]
    own = None if style is None else style.get("style_id")
    met = (
        r
        for r in rules
        if r.get("kind", kind) == kind
        and r.get("colour", colour) == colour
        and ("styles" not in r or own in r["styles"])
    )
    return {sign for rule in met for sign in rule["signs"]}


def likelihoods(
    sign: str,
    value: str,
    colour: str | None,
    style: Mapping[str, Any] | None,
    own: LearnedCues | None,
) -> Bands | None:
    """Return the likelihood of a cue's value per band of years; None if not in the tables."""
    tables = spec.load("evidence")["age"]["signs"][sign]
    table = tables.get(colour, tables.get("other", {}))
    usual: Bands | None = table.get(value)
    if usual is None:
        return None
    if sign == "hue":
        usual = _on_track(usual, value, style)
    counts = ((own or {}).get(colour or "") or {}).get(sign)
    return usual if counts is None else _with_own(usual, value, counts)


def learn_cues(
    confirmed: Sequence[Mapping[str, Mapping[str, object]]],
) -> LearnedCues:
    """Count cues by band of age in tastings of bottles with a known vintage.

    ``confirmed`` are ``{"tasting", "bottle"}`` pairs; those without vintage, date or colour are
    skipped.
    """
    edges = spec.load("evidence")["age"]["edges_years"]
    own: LearnedCues = {}
    for pair in confirmed:
        tasting, bottle = pair["tasting"], pair["bottle"]
        colour, age = wine_colour(tasting, bottle), _age_years(tasting, bottle)
        if colour is None or age is None:
            continue
        band = min(sum(edge <= age for edge in edges) - 1, len(edges) - 2)
        for sign, value in informative_cues(tasting, colour, None).items():
            values = own.setdefault(colour, {}).setdefault(sign, {})
            counts = values.setdefault(value, [0] * (len(edges) - 1))
            counts[band] += 1
    return own


def _age_years(tasting: Mapping[str, object], bottle: Mapping[str, object]) -> float | None:
    vintage = number(bottle.get("vintage"), "vintage")
    when = tasting.get("tasted_at")
    if vintage is None or not isinstance(when, str) or not re.match("[0-9]{4}", when):
        return None
    return max(0.0, int(when[:4]) - vintage)


def _on_track(usual: Bands, hue: str, style: Mapping[str, Any] | None) -> Bands:
    """Average with how the style's hues change with age: garnet is early for a nebbiolo."""
    track = [] if style is None else style["ageing_hues"]
    if len(track) < 2 or hue not in track:
        return usual
    place = track.index(hue)
    name = "first" if place == 0 else "last" if place == len(track) - 1 else "middle"
    own_way = spec.load("evidence")["age"]["track"][name]
    return [math.sqrt(u * t) for u, t in zip(usual, own_way, strict=True)]


def _with_own(usual: Bands, value: str, counts: Mapping[str, Sequence[int]]) -> Bands:
    """Weigh the table as a number of bottles per band and add the taster's own bottles."""
    weight = spec.load("evidence")["age"]["own_weight"]
    seen = [sum(bottles) for bottles in zip(*counts.values(), strict=True)]
    mine = counts.get(value, [0] * len(usual))
    return [(weight * u + m) / (weight + n) for u, m, n in zip(usual, mine, seen, strict=True)]


def _aged_words(tasting: Mapping[str, object], style: Mapping[str, Any] | None) -> str | None:
    """Classify the number of aged aroma families noted, without those usual for the style."""
    words = noted_aromas(tasting)
    if not words:
        return None
    usual = set() if style is None else set(style["aroma_families"])
    aged = set(spec.load("evidence")["age"]["aged_families"]) - usual
    count = len(aged & {aroma_family(word) for word in words})
    return "none" if count == 0 else "one" if count == 1 else "several"
