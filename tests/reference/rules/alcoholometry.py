"""Mixtures of ethanol and water at 20 C, after OIML R 22.

The density of a mixture is a polynomial in its mass fraction of ethanol (coefficients in
``static/spec/drinks.json``). Wine is denser than this because of its extract.
"""

from typing import TypedDict

from webapp import spec
from webapp.rules.numbers import required_in_range


class Mixture(TypedDict):
    """Ethanol in percent by mass, and density in kg/m3 at 20 C."""

    mass_percent: float
    kg_m3: float


def mixture_density(mass_percent: object) -> float:
    """Return the density in kg/m3 at 20 C for a percentage of ethanol by mass."""
    fraction = required_in_range(mass_percent, "mass_percent", 0, 100) / 100
    density = 0.0
    for coefficient in reversed(spec.load("drinks")["ethanol_water_20c"]["coefficients"]):
        density = density * fraction + coefficient
    return density


def solve_mixture(abv: object) -> Mixture:
    """Return the mixture whose strength at 20 C is ``abv`` percent by volume.

    Strength is (mass fraction) x (density of mixture) / (density of ethanol). It increases with
    the mass fraction and is inverted by bisection.
    """
    strength = required_in_range(abv, "abv", 0, 100)
    ethanol = mixture_density(100)
    low, high = 0.0, 100.0
    for _ in range(60):
        middle = (low + high) / 2
        if middle * mixture_density(middle) / ethanol < strength:
            low = middle
        else:
            high = middle
    return {"mass_percent": (low + high) / 2, "kg_m3": mixture_density((low + high) / 2)}


def freezing_point_c(abv: object) -> float:
    """Return the freezing point in degrees C of a mixture of ``abv`` percent (ideal dilution).

    It falls by 1.86 K for each mole of ethanol (46.07 g) per kilogram of water. The error for wine
    is about half a degree; sugar lowers the real value further, so a warning comes early.
    """
    mass = solve_mixture(abv)["mass_percent"]
    if mass >= 40:
        # The ideal law is invalid above the strength of spirits; no freezer is that cold anyway.
        mass = 40.0
    molality = mass / 46.07 / (100 - mass) * 1000
    return -1.86 * molality
