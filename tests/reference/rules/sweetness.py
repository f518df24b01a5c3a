"""Legal sweetness terms on labels, and sugar and acidity on the app's 0-10 scales.

Terms, limits and tolerances with their sources are in ``static/spec/sweetness.json``; sugar and
acidity are compared in whole hundredths of a gram per litre.
"""

import math
from collections.abc import Mapping
from typing import Any, TypedDict

from webapp import spec
from webapp.rules.errors import RuleError
from webapp.rules.numbers import in_range, interpolate, required_in_range, round_half_up


class Terms(TypedDict):
    """``terms`` are allowed; ``possible`` depend on unknown data (acidity, added sugar)."""

    terms: list[str]
    possible: list[str]


def sweetness_scale(kind: object, market: object, vintage: object) -> str | None:
    """Return the scale of terms for a label's kind, market (EU, GB, ZA) and vintage."""
    family = spec.load("sweetness")["markets"].get(market) if isinstance(market, str) else None
    if family is None:
        return None
    if family == "eu" and kind == "sparkling":
        year = in_range(vintage, "vintage", 1000, 9999)
        changed = int(spec.load("sweetness")["changed_on"][:4])
        # Wine is sold a year or more after its vintage.
        old = year is not None and year < changed - 1
        return "eu_sparkling_before_2009" if old else "eu_sparkling"
    return f"{family}_still" if kind in ("still", "semi_sparkling", "sweet") else None


def sweetness_terms(
    scale: str,
    sugar_gl: object,
    acidity_gl: object = None,
    sugar_added: bool | None = None,
    with_tolerance: bool = False,
) -> Terms:
    """Return the terms allowed for sugar and total acidity (g/l, as tartaric acid).

    ``sugar_added`` is whether sugar was added after the second fermentation. ``with_tolerance``
    includes the terms allowed within the legal tolerance of measured sugar. Raises RuleError:
    unknown_scale and the errors of numbers.
    """
    rules = _scale(scale)
    sugar = _gram_hundredths(required_in_range(sugar_gl, "sugar_gl", 0, 1000))
    reach = rules["tolerance"] if with_tolerance else 0
    acidity = in_range(acidity_gl, "acidity_gl", 0, 100)
    # Limits are monotonic in acidity, so none and plenty bound an unknown acidity.
    acidities = [0, 10_000] if acidity is None else [_gram_hundredths(acidity)]
    found = [_allowed(rules, max(0, sugar - reach), sugar + reach, each) for each in acidities]
    ids = [term["id"] for term in rules["terms"] if sugar_added is not True or "needs" not in term]
    needy = {term["id"] for term in rules["terms"] if "needs" in term and sugar_added is None}
    sure = [i for i in ids if i not in needy and all(i in allowed for allowed in found)]
    may = [i for i in ids if i not in sure and any(i in allowed for allowed in found)]
    return {"terms": sure, "possible": may}


def sweetness_agrees(
    scale: str,
    term: str,
    sugar_gl: object,
    acidity_gl: object = None,
    sugar_added: bool | None = None,
) -> str:
    """Check a printed term: ``agrees``, ``may_agree``, ``within_tolerance``, ``disagrees``.

    Raises RuleError: unknown_term if the scale has no such term.
    """
    if term not in [each["id"] for each in _scale(scale)["terms"]]:
        raise RuleError("unknown_term", "term")
    exact = sweetness_terms(scale, sugar_gl, acidity_gl, sugar_added)
    if term in exact["terms"]:
        return "agrees"
    if term in exact["possible"]:
        return "may_agree"
    near = sweetness_terms(scale, sugar_gl, acidity_gl, sugar_added, True)
    return "within_tolerance" if term in near["terms"] + near["possible"] else "disagrees"


def sweetness_from_sugar(sugar_gl: object) -> float:
    """Convert sugar to the app's 0-10 scale: min(10, 1.9 ln(1 + g/l / 3)).

    Perceived sweetness is another field.
    """
    shape = spec.load("sweetness")["perceived"]["sugar"]
    sugar = required_in_range(sugar_gl, "sugar_gl", 0, 1000)
    return float(min(10, shape["factor"] * math.log1p(sugar / shape["half_gl"])))


def acidity_from_total(acidity_gl: object) -> float:
    """Convert total acidity (g/l, as tartaric acid) to 0-10, linear between points."""
    points = spec.load("sweetness")["perceived"]["acidity_points"]
    acidity = required_in_range(acidity_gl, "acidity_gl", 0, 100)
    return interpolate(points, acidity)


def _allowed(rules: Mapping[str, Any], low: int, high: int, acidity: int) -> set[str]:
    """Return terms whose sugar interval overlaps ``low``..``high`` (hundredths of g/l)."""
    found = set()
    previous = 0
    for term in rules["terms"]:
        top = _top(term, acidity)
        starts = previous if term.get("above_previous") else term["low"]
        open_below = term.get("low_exclusive") or (term.get("above_previous") and previous > 0)
        reaches = high > starts if open_below else high >= starts
        falls = top is None or (low < top if term.get("high_exclusive") else low <= top)
        if reaches and falls:
            found.add(term["id"])
        previous = top or previous
    return found


def _top(term: Mapping[str, Any], acidity: int) -> int | None:
    """Return the maximum sugar of a term, which acidity raises up to a second limit."""
    top: int | None = term.get("high")
    lift = term.get("acidity")
    if top is None or lift is None:
        return top
    lifted: int = min(lift["high"], acidity + lift["margin"])
    return max(top, lifted)


def _gram_hundredths(grams: float) -> int:
    return int(round_half_up(grams * 100))


def _scale(scale: str) -> Mapping[str, Any]:
    for rules in spec.load("sweetness")["scales"]:
        if rules["id"] == scale:
            found: Mapping[str, Any] = rules
            return found
    raise RuleError("unknown_scale", "scale")
