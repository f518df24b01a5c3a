"""The computed columns of the CSV: results of the rules for one tasting and its bottle."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from webapp import spec
from webapp.rules.alcohol_range import tolerance_range
from webapp.rules.assessments import classify_dryness, classify_finish
from webapp.rules.drinks import pure_alcohol
from webapp.rules.errors import RuleError
from webapp.rules.numbers import round_half_up
from webapp.rules.quality import assess_quality

Value = TypeVar("Value")
COMPUTED_COLUMNS = (
    "lawful_abv_low",
    "lawful_abv_high",
    "alcohol_poured_g",
    "alcohol_swallowed_g",
    "swallow_assumed",
    "age_at_tasting_years",
    "dryness_class",
    "finish_class",
    "quality_level",
)
# What is written on a glass before anybody tastes from it.
BEFORE_TASTING = frozenset(
    {
        "bottle",
        "visit",
        "tasted_at",
        "place",
        "label_hidden",
        "flight_mark",
        "serving_c",
        "pour_ml",
        "guesses_locked_at",
        "uncovered_at",
        "example",
    }
)


def computed_cells(
    tasting: Mapping[str, Any], bottle: Mapping[str, Any], market: str | None, today: str
) -> list[Any]:
    """Compute the cells of COMPUTED_COLUMNS; None where the input is missing.

    `market` is the owner's and applies to a label that names none; `today` is YYYY-MM-DD.
    """
    low, high = _try(lambda: _lawful_range(bottle, market, today)) or (None, None)
    strength = bottle.get("label_abv")
    if strength is None and low is not None and high is not None:
        strength = (low + high) / 2
    poured, swallowed, assumed = _volumes_ml(tasting)
    return [
        low,
        high,
        _try(lambda: _grams(poured, strength)),
        _try(lambda: _grams(swallowed, strength)),
        assumed,
        _age_years(tasting, bottle),
        _try(lambda: _dryness(tasting)),
        _try(lambda: classify_finish(tasting.get("finish_s"))),
        _try(lambda: assess_quality(tasting)["level"]),
    ]


def _try(compute: Callable[[], Value]) -> Value | None:
    # A value that a rule rejects must not fail the whole export.
    try:
        return compute()
    except RuleError:
        return None


def _lawful_range(
    bottle: Mapping[str, Any], market: str | None, today: str
) -> tuple[float, float] | None:
    """Return the range of alcohol (% vol) that the printed number allows."""
    label = {**bottle, "label_market": bottle.get("label_market") or market}
    low, high = bottle.get("label_abv_low"), bottle.get("label_abv_high")
    if low is not None and high is not None and low > high:
        # A range whose ends are swapped is ignored.
        label |= {"label_abv_low": None, "label_abv_high": None}
    found = tolerance_range(label, today)
    if found["low"] is None or found["high"] is None:
        return None
    return found["low"] / 100, found["high"] / 100


def _volumes_ml(
    tasting: Mapping[str, Any],
) -> tuple[float | None, float | None, bool | None]:
    """Give what was poured, what was swallowed, and whether the latter is assumed.

    The tally of a visit counts in the same way: the whole pour where nothing was said of
    swallowing, what was swallowed as poured as well, and no glass that nobody has tasted from.
    """
    poured, swallowed = tasting.get("pour_ml"), tasting.get("swallowed_ml")
    if (poured is None and swallowed is None) or not _is_tasted(tasting):
        return None, None, None
    if swallowed is None:
        return poured, poured, True
    return max(poured or 0, swallowed), swallowed, False


def _is_tasted(tasting: Mapping[str, Any]) -> bool:
    """Tell whether a glass was noted; one of a flight or a hidden one may stand untouched."""
    if not (tasting.get("flight_mark") or tasting.get("label_hidden")):
        return True
    known = spec.kinds()["tasting"]
    return any(
        value is not None and name in known and name not in BEFORE_TASTING
        for name, value in tasting.items()
    )


def _grams(volume_ml: float | None, strength: float | None) -> float | None:
    if volume_ml is None or strength is None:
        return None
    return round_half_up(pure_alcohol(volume_ml, strength)["grams"], 2)


def _age_years(tasting: Mapping[str, Any], bottle: Mapping[str, Any]) -> int | None:
    """Count the years from the vintage to the year of the tasting in its own time zone."""
    year, vintage = str(tasting.get("tasted_at") or "")[:4], bottle.get("vintage")
    if not year.isdecimal() or not isinstance(vintage, int):
        return None
    return max(0, int(year) - vintage)


def _dryness(tasting: Mapping[str, Any]) -> str | None:
    scales = (tasting.get(name) for name in ("sweetness", "acidity", "tannin"))
    return classify_dryness(*scales)["code"]
