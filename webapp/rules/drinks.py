"""Computes pure alcohol in a drink; never blood alcohol or fitness to drive.

Grams are ml x strength x 0.78924 g/ml (OIML R 22); strength is defined at 20 C, so no correction
for temperature is needed.
"""

from typing import TypedDict

from webapp import spec
from webapp.rules.numbers import required_in_range

LARGEST_VOLUME_ML = 30_000


class PureAlcohol(TypedDict):
    """Amount of ethanol, in millilitres and grams."""

    pure_ml: float
    grams: float


def pure_alcohol(volume_ml: object, abv: object) -> PureAlcohol:
    """Compute the ethanol in ``volume_ml`` of a liquid of ``abv`` percent by volume."""
    volume = required_in_range(volume_ml, "volume_ml", 0, LARGEST_VOLUME_ML)
    pure_ml = volume * required_in_range(abv, "abv", 0, 100) / 100
    return {"pure_ml": pure_ml, "grams": grams_of(pure_ml)}


def grams_of(pure_ml: float) -> float:
    """Convert millilitres of ethanol at 20 C to grams."""
    density: float = spec.load("drinks")["ethanol_g_per_ml"]
    return pure_ml * density
