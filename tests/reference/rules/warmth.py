"""Comparison of perceived warmth with the label's alcohol."""

from collections.abc import Mapping
from typing import TypedDict

from webapp import spec
from webapp.rules.numbers import in_range, interpolate, number, to_hundredths


class Warmth(TypedDict):
    """Comparison and range of the perceived strength, in hundredths of a percent.

    ``code``: not_judged, no_label, agrees, warmer_but_lawful, warmer_than_lawful,
    cooler_but_lawful, cooler_than_lawful; "but_lawful" means within the label's legal tolerance.
    """

    code: str
    felt_low: float | None
    felt_high: float | None


def compare_warmth(
    tasting: Mapping[str, object], label: Mapping[str, object], label_abv: object = None
) -> Warmth:
    """Compare perceived warmth with the printed alcohol and the label's legal range.

    ``tasting`` has ``warmth`` (0-10) and ``warmth_where``; ``label`` is a ``tolerance_range``;
    ``label_abv`` is the printed percent, or None for the middle of the range.
    """
    felt = _felt(tasting)
    if felt is None:
        return {"code": "not_judged", "felt_low": None, "felt_high": None}
    low, high = number(label.get("low"), "low"), number(label.get("high"), "high")
    stated: float | None = to_hundredths(label_abv, "label_abv")
    if low is None or high is None:
        return {"code": "no_label", "felt_low": felt[0], "felt_high": felt[1]}
    stated = (low + high) / 2 if stated is None else stated
    code = "agrees"
    if stated < felt[0]:
        code = "warmer_but_lawful" if high >= felt[0] else "warmer_than_lawful"
    elif stated > felt[1]:
        code = "cooler_but_lawful" if low <= felt[1] else "cooler_than_lawful"
    return {"code": code, "felt_low": felt[0], "felt_high": felt[1]}


def _felt(tasting: Mapping[str, object]) -> tuple[float, float] | None:
    """Return the strengths that fit location and degree of warmth; their hull if disjoint."""
    rules = spec.load("evidence")["warmth"]
    degree = in_range(tasting.get("warmth"), "warmth", 0, 10)
    place = tasting.get("warmth_where")
    where = rules["where"].get(place) if isinstance(place, str) else None
    scale = None
    if degree is not None:
        scale = (
            interpolate(rules["scale_low"], degree),
            interpolate(rules["scale_high"], degree),
        )
    if where is None or scale is None:
        return (where[0], where[1]) if where is not None else scale
    low, high = max(where[0], scale[0]), min(where[1], scale[1])
    return (low, high) if low <= high else (min(where[0], scale[0]), max(where[1], scale[1]))
