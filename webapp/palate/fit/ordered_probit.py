"""Log probability of JAR ratings given normal slopes, and its derivatives by the mean of the slope.

With s ~ Normal(mean, var), s above `band` gives "too little" (-1), s below -band "too much" (+1),
s between them "just right" (0). A wish is a rating that is not 0: its interval has one end only.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.special import log_ndtr, ndtr

from webapp.palate.data.attribute_space import Floats

# Smaller probabilities are computed as logarithms.
LEAST_CHANCE = 1e-12
LOG_ROOT = 0.5 * np.log(2 * np.pi)
# The second derivative is negative, but may round to 0.
LEAST_BEND = -1e-9


def log_chance_of_wish(value: Floats, mean: Floats, var: Floats, band: Floats | float) -> Floats:
    """Return the log probability of ratings of -1 or 1."""
    reach = _reach(value, mean, np.sqrt(var), band)
    chance = ndtr(reach)
    small = chance < LEAST_CHANCE
    log_z = np.log(np.where(small, 1.0, chance))
    log_z[small] = log_ndtr(reach[small])
    return np.asarray(log_z, dtype=float)


def log_chance_of_right(mean: Floats, var: Floats, band: Floats | float) -> Floats:
    """Return the log probability of ratings of 0."""
    up, down = _ends(mean, np.sqrt(var), band)
    chance, small = _between(up, down)
    log_z = np.log(np.where(small, 1.0, chance))
    log_z[small] = _log_between(up[small], down[small])
    return np.asarray(log_z, dtype=float)


def derivatives_of_wish(
    value: Floats, mean: Floats, var: Floats, band: float
) -> tuple[Floats, Floats]:
    """Return the first two derivatives of the log probability of ratings of -1 or 1."""
    sd = np.sqrt(var)
    reach = _reach(value, mean, sd, band)
    chance = ndtr(reach)
    small = chance < LEAST_CHANCE
    log_density = -0.5 * reach**2 - LOG_ROOT
    ratio = np.exp(log_density) / np.where(small, 1.0, chance)
    ratio[small] = np.exp(log_density[small] - log_ndtr(reach[small]))
    return -value * ratio / sd, np.minimum(-ratio * (reach + ratio) / var, LEAST_BEND)


def derivatives_of_right(mean: Floats, var: Floats, band: float) -> tuple[Floats, Floats]:
    """Return the first two derivatives of the log probability of ratings of 0."""
    sd = np.sqrt(var)
    up, down = _ends(mean, sd, band)
    chance, small = _between(up, down)
    log_up, log_down = -0.5 * up**2 - LOG_ROOT, -0.5 * down**2 - LOG_ROOT
    chance = np.where(small, 1.0, chance)
    at_up, at_down = np.exp(log_up) / chance, np.exp(log_down) / chance
    if small.any():
        log_z = _log_between(up[small], down[small])
        at_up[small], at_down[small] = (
            np.exp(log_up[small] - log_z),
            np.exp(log_down[small] - log_z),
        )
    first = np.sign(mean) * (at_down - at_up) / sd
    second = (down * at_down - up * at_up) / var - first**2
    return first, np.minimum(second, LEAST_BEND)


def _reach(value: Floats, mean: Floats, sd: Floats, band: Floats | float) -> Floats:
    """Return how far the interval of a wish reaches beyond the mean, standardized."""
    return np.asarray((-value * mean - band) / sd)


def _ends(mean: Floats, sd: Floats, band: Floats | float) -> tuple[Floats, Floats]:
    """Return the standardized ends of "just right", mirrored to the lower tail.

    So the difference of their probabilities does not cancel.
    """
    far = np.abs(mean)
    return (band - far) / sd, (-band - far) / sd


def _between(up: Floats, down: Floats) -> tuple[Floats, NDArray[np.bool_]]:
    chance = ndtr(up) - ndtr(down)
    return chance, chance < LEAST_CHANCE


def _log_between(up: Floats, down: Floats) -> Floats:
    top, bottom = log_ndtr(up), log_ndtr(down)
    return np.asarray(top + np.log1p(-np.exp(np.minimum(bottom - top, -1e-12))))
