"""Probability of oak, and of new oak, from the aromas and the oak scale."""

import math
from collections.abc import Mapping
from typing import Any, TypedDict

from webapp import spec
from webapp.rules.nose import aroma_family, noted_aromas
from webapp.rules.numbers import in_range, interpolate


class Cue(TypedDict):
    """A cue ``of`` aroma, scale or nose; likelihood ratios above 1 favour oak, and new oak."""

    of: str
    value: str | float | None
    oak_ratio: float
    new_ratio: float
    note: str | None


class Oak(TypedDict):
    """Assessment of oak.

    ``oak``: none, doubtful, likely, clear; ``new``: used, open, new. Both are None without cues.
    """

    oak: str | None
    new: str | None
    p_oak: float | None
    p_new: float | None
    reasons: list[Cue]


def assess_oak(tasting: Mapping[str, object], style: Mapping[str, Any] | None = None) -> Oak:
    """Assess oak from aromas and the oak scale.

    Each aroma family counts once, with the strength of its strongest aroma. Vanilla, toast, baking
    spice, coffee, caramel and smoke are evidence of oak, and of newer oak if stronger. The odds are
    the prior odds times the likelihood ratios, each raised to a power below one because cues are
    not independent.

    The prior follows the style's ``oak`` in styles.json, and an aroma that is usual for the style
    counts only by its difference from the usual strength. Such aromas are no evidence in a style
    that has them without oak (``oak`` under 1), or in one that has them from its lees or from years
    in old casks.
    """
    rules = spec.load("evidence")["oak"]
    signs = [*_aromas(tasting, style, rules), *_scale(tasting, rules)]
    prior_oak, prior_new = _priors(style, rules)
    if not signs:
        return {"oak": None, "new": None, "p_oak": None, "p_new": None, "reasons": []}
    p_oak = _share(prior_oak, [s["oak_ratio"] for s in signs], rules["temper"])
    p_new = _share(prior_new, [s["new_ratio"] for s in signs], rules["temper"])
    oak = _named(p_oak, rules, ("clear", "likely", "doubtful"), "none")
    new = _named(p_new, rules, ("new", "open"), "used") if oak in ("likely", "clear") else None
    return {
        "oak": oak,
        "new": new,
        "p_oak": p_oak,
        "p_new": None if new is None else p_new,
        "reasons": signs,
    }


def _priors(style: Mapping[str, Any] | None, rules: Mapping[str, Any]) -> tuple[float, float]:
    if style is None:
        return rules["prior_oak"], rules["prior_new"]
    of_kind = rules["prior_new_of_kind"].get(style.get("kind"), rules["prior_new"])
    return interpolate(rules["prior_oak_of_style"], style["oak"]), of_kind


def _aromas(
    tasting: Mapping[str, object], style: Mapping[str, Any] | None, rules: Mapping[str, Any]
) -> list[Cue]:
    words = noted_aromas(tasting)
    strengths: dict[str, int] = {}
    for word, strength in words.items():
        family = aroma_family(word)
        if family is not None and family in rules["families"]:
            value = strength or rules["usual_strength"]
            strengths[family] = max(strengths.get(family, 0), value)
    signs = [_aroma(family, value, style, rules) for family, value in strengths.items()]
    if words and not strengths:
        expected = style is None or any(f in rules["families"] for f in style["aroma_families"])
        ratio, note = (rules["none_noted"], None) if expected else (1, "style_usual")
        signs.append(
            {"of": "nose", "value": None, "oak_ratio": ratio, "new_ratio": 1, "note": note}
        )
    return signs


def _aroma(
    family: str, strength: int, style: Mapping[str, Any] | None, rules: Mapping[str, Any]
) -> Cue:
    power, note = rules["by_strength"][strength - 1], None
    if style is not None:
        note = _other_origin(family, style, rules)
        if note is not None:
            return {"of": "aroma", "value": family, "oak_ratio": 1, "new_ratio": 1, "note": note}
        if family in style["aroma_families"]:
            power -= rules["by_strength"][rules["usual_strength"] - 1]
            note = "style_usual"
    ratios = rules["families"][family]
    return {
        "of": "aroma",
        "value": family,
        "oak_ratio": ratios["oak"] ** power,
        "new_ratio": ratios["new"] ** power,
        "note": note,
    }


def _other_origin(family: str, style: Mapping[str, Any], rules: Mapping[str, Any]) -> str | None:
    """Return the code of another origin of the aroma in that style, or None."""
    for rule in rules["not_from_wood"]:
        if style.get("style_id") in rule["styles"] and family in rule["families"]:
            note: str = rule["note"]
            return note
    bare = style["oak"] < rules["style_without_oak_below"]
    return "style_without_oak" if bare and family in style["aroma_families"] else None


def _scale(tasting: Mapping[str, object], rules: Mapping[str, Any]) -> list[Cue]:
    judged = in_range(tasting.get("oak"), "oak", 0, 10)
    if judged is None:
        return []
    return [
        {
            "of": "scale",
            "value": judged,
            "oak_ratio": interpolate(rules["scale_oak"], judged),
            "new_ratio": interpolate(rules["scale_new"], judged),
            "note": None,
        }
    ]


def _share(prior: float, ratios: list[float], temper: float) -> float:
    odds = math.log(prior / (1 - prior)) + temper * sum(math.log(ratio) for ratio in ratios)
    return 1 / (1 + math.exp(-odds))


def _named(share: float, rules: Mapping[str, Any], names: tuple[str, ...], least: str) -> str:
    for name in names:
        if share >= rules[f"{name}_from"]:
            return name
    return least
