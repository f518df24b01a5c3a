"""Standard drinks and alcohol totals. Never blood alcohol, never fitness to drive.

Grams are ml x strength x 0.78924 g/ml (OIML R 22). Strength is defined at 20 C, so totals need no
correction for temperature. Drink sizes and their sources are in ``static/spec/drinks.json``.
"""

from collections.abc import Mapping, Sequence
from typing import Any, TypedDict

from webapp import spec
from webapp.rules.drinks import LARGEST_VOLUME_ML, grams_of, pure_alcohol
from webapp.rules.errors import RuleError
from webapp.rules.numbers import in_range, number


class Swallow(TypedDict):
    """Total liquid in ml, and ethanol in grams and drinks, each with the label's legal range."""

    ml: float
    grams: float
    grams_low: float
    grams_high: float
    drinks: float
    drinks_low: float
    drinks_high: float


class Tally(TypedDict):
    """Totals of a visit's pours, and counts of pours that make a total only a lower bound."""

    poured: Swallow
    swallowed: Swallow
    pours: int
    unknown_strength: int
    unknown_volume: int
    swallowed_not_said: int
    swallowed_over_poured: int


def standard_drinks(volume_ml: object, abv: object, place: str) -> float:
    """Return drinks of a country's size (US, GB, AU ...). Raises RuleError: unknown_place."""
    return _drinks(pure_alcohol(volume_ml, abv)["pure_ml"], _place(place))


def visit_tally(pours: Sequence[Mapping[str, object]], place: str) -> Tally:
    """Sum the poured and swallowed alcohol of some pours.

    A pour is ``{"pour_ml", "swallowed_ml", "label_abv", "low", "high"}``: volumes in ml, the
    label's number in percent, its legal range in hundredths of a percent (``tolerance_range``).
    Errors of pours from the same bottle do not average out, so low and high ends are summed. A pour
    without a swallowed volume counts as swallowed; a swallowed volume above the pour counts as
    poured too. A pour without volume and strength is only counted as one without volume. Raises
    RuleError: unknown_place and the errors of numbers.
    """
    size = _place(place)
    poured, swallowed = _Sum(), _Sum()
    unknown_strength = unknown_volume = not_said = over = 0
    for pour in pours:
        volume = in_range(pour.get("pour_ml"), "pour_ml", 0, LARGEST_VOLUME_ML)
        drunk = in_range(pour.get("swallowed_ml"), "swallowed_ml", 0, LARGEST_VOLUME_ML)
        strengths = _strengths(pour)
        if volume is None and drunk is None:
            unknown_volume += 1
        else:
            unknown_strength += strengths is None
        not_said += volume is not None and drunk is None
        over += volume is not None and drunk is not None and drunk > volume
        poured.add(drunk if volume is None or (drunk or 0) > volume else volume, strengths)
        swallowed.add(volume if drunk is None else drunk, strengths)
    return {
        "poured": poured.as_dict(size),
        "swallowed": swallowed.as_dict(size),
        "pours": len(pours),
        "unknown_strength": unknown_strength,
        "unknown_volume": unknown_volume,
        "swallowed_not_said": not_said,
        "swallowed_over_poured": over,
    }


class _Sum:
    """Millilitres of liquid, and of ethanol at the lowest, printed and highest strength."""

    def __init__(self) -> None:
        self.ml = 0.0
        self.pure_ml = [0.0, 0.0, 0.0]

    def add(self, volume_ml: float | None, strengths: tuple[float, float, float] | None) -> None:
        if volume_ml is None:
            return
        self.ml += volume_ml
        for index, percent in enumerate(strengths or ()):
            self.pure_ml[index] += volume_ml * percent / 100

    def as_dict(self, size: Mapping[str, Any]) -> Swallow:
        low, printed, high = self.pure_ml
        return {
            "ml": self.ml,
            "grams": grams_of(printed),
            "grams_low": grams_of(low),
            "grams_high": grams_of(high),
            "drinks": _drinks(printed, size),
            "drinks_low": _drinks(low, size),
            "drinks_high": _drinks(high, size),
        }


def _strengths(pour: Mapping[str, object]) -> tuple[float, float, float] | None:
    """Return the lowest, printed and highest strength in percent.

    A missing printed strength is replaced by the middle of its range.
    """
    printed = in_range(pour.get("label_abv"), "label_abv", 0, 100)
    low, high = number(pour.get("low"), "low"), number(pour.get("high"), "high")
    if low is None or high is None:
        return None if printed is None else (printed, printed, printed)
    middle = (low + high) / 200 if printed is None else printed
    return low / 100, middle, high / 100


def _drinks(pure_ml: float, size: Mapping[str, Any]) -> float:
    if size["pure_ml"] is not None:
        return float(pure_ml / size["pure_ml"])
    density = size["g_per_ml"] or spec.load("drinks")["ethanol_g_per_ml"]
    return float(pure_ml * density / size["grams"])


def _place(place: str) -> Mapping[str, Any]:
    for size in spec.load("drinks")["places"]:
        if size["id"] == place:
            found: Mapping[str, Any] = size
            return found
    raise RuleError("unknown_place", "place")
