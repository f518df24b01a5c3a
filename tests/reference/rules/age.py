"""Estimate of a wine's age from sensory cues, as a distribution.

Hue, rim, gradation, the state of the fruit and aged aromas each have a likelihood over bands of
years (``static/spec/evidence.json``, common practice, with wide spread); the prior is the age at
which wines are usually drunk. Cues are correlated, so each likelihood is raised to a power below
one. A taster's own confirmed bottles gradually adjust the tables.
"""

import math
from collections.abc import Mapping, Sequence
from itertools import accumulate
from typing import Any, TypedDict

from tests.reference.rules.age_cues import (
    LearnedCues,
    ignored_cues,
    informative_cues,
    likelihoods,
    wine_colour,
)
from webapp import spec
from webapp.rules.numbers import required_in_range

Bands = list[float]


class Band(TypedDict):
    """Years from ``low`` up to ``high``, and their probability."""

    low: float
    high: float
    share: float


class AgeCue(TypedDict):
    """Contribution of one cue to the estimate.

    ``direction``: younger, older, neither; ``strength``: none, weak, some, strong; ``note``: a
    reason for caution.
    """

    sign: str
    value: str
    direction: str
    strength: str
    note: str | None


class AgeReading(TypedDict):
    """Median and central 80 % interval in years. ``known`` is false without informative cues."""

    known: bool
    bands: list[Band]
    low: float | None
    middle: float | None
    high: float | None
    reasons: list[AgeCue]


class AgainstVintage(TypedDict):
    """Comparison with the vintage.

    ``position``: fits, older_than_vintage, younger_than_vintage, unknown.
    """

    age_years: float | None
    position: str


def estimate_age(
    tasting: Mapping[str, object],
    bottle: Mapping[str, object],
    style: Mapping[str, Any] | None = None,
    own: LearnedCues | None = None,
) -> AgeReading:
    """Estimate the age from the cues of a tasting.

    ``style`` is its row of styles.json; ``own`` is the result of ``learn_cues``.
    """
    rules = spec.load("evidence")["age"]
    colour = wine_colour(tasting, bottle)
    signs = informative_cues(tasting, colour, style)
    quiet = ignored_cues(bottle.get("kind"), colour, style)
    reasons: list[AgeCue] = []
    belief = list(_prior(bottle.get("kind"), colour, rules))
    heard = False
    for sign, value in signs.items():
        current = None if sign in quiet else likelihoods(sign, value, colour, style, own)
        if current is None:
            reasons.append(_reason(sign, value, 0, "method_not_age" if sign in quiet else None))
            continue
        heard = True
        doubtful = value in rules["proves_nothing_alone"]
        power = rules["doubtful_sign_temper" if doubtful else "temper"]
        belief = [b * each**power for b, each in zip(belief, current, strict=True)]
        caution = "proves_nothing_alone" if doubtful else None
        reasons.append(_reason(sign, value, power * _lean(current, colour, rules), caution))
    total = math.fsum(belief)
    shares = [each / total for each in belief]
    edges = rules["edges_years"]
    return {
        "known": heard,
        "bands": [
            {"low": low, "high": high, "share": share}
            for low, high, share in zip(edges, edges[1:], shares, strict=False)
        ],
        "low": _quantile(shares, edges, 0.1) if heard else None,
        "middle": _quantile(shares, edges, 0.5) if heard else None,
        "high": _quantile(shares, edges, 0.9) if heard else None,
        "reasons": reasons,
    }


def compare_with_vintage(reading: AgeReading, vintage: object, year: object) -> AgainstVintage:
    """Compare the vintage with the estimated age; ``year`` is that of the tasting.

    They do not fit if the bottle's age is outside the central 80 % interval.
    """
    if vintage is None:
        return {"age_years": None, "position": "unknown"}
    grown = required_in_range(vintage, "vintage", 1000, 9999)
    age = max(0.0, required_in_range(year, "year", 1000, 9999) - grown)
    if reading["low"] is None or reading["high"] is None:
        return {"age_years": age, "position": "unknown"}
    # A vintage is only accurate to a year, so allow one year on either side.
    if age + 1 < reading["low"]:
        return {"age_years": age, "position": "older_than_vintage"}
    late = age - 1 > reading["high"]
    return {"age_years": age, "position": "younger_than_vintage" if late else "fits"}


def _prior(kind: object, colour: str | None, rules: Mapping[str, Any]) -> Bands:
    name = kind if kind in ("fortified", "sweet") else colour
    found: Bands = rules["prior"].get(name, rules["prior"]["red"])
    return found


def _lean(value: Sequence[float], colour: str | None, rules: Mapping[str, Any]) -> float:
    """Return the log ratio of old bands to young ones; above 0 means older."""
    weights = _prior(None, colour, rules)
    young = _mean(value[: rules["young_bands"]], weights[: rules["young_bands"]])
    old = _mean(value[rules["old_bands_from"] :], weights[rules["old_bands_from"] :])
    return math.log(old / young)


def _mean(values: Sequence[float], weights: Sequence[float]) -> float:
    return sum(v * w for v, w in zip(values, weights, strict=True)) / sum(weights)


def _reason(sign: str, value: str, lean: float, note: str | None) -> AgeCue:
    rules = spec.load("evidence")["age"]
    size = abs(lean)
    if size < rules["neither_below"]:
        direction, strength = "neither", "none"
    else:
        direction = "older" if lean > 0 else "younger"
        strength = "weak" if size < rules["some_from"] else "some"
        strength = "strong" if size >= rules["strong_from"] else strength
    return {
        "sign": sign,
        "value": value,
        "direction": direction,
        "strength": strength,
        "note": note,
    }


def _quantile(shares: Sequence[float], edges: Sequence[float], level: float) -> float:
    """Return the quantile of the age in years, interpolated within its band."""
    for index, reached in enumerate(accumulate(shares)):
        if reached >= level:
            inside = 1 - (reached - level) / shares[index]
            return edges[index] + inside * (edges[index + 1] - edges[index])
    return edges[-1]
