"""Liking that follows from "would you buy it?" where the taster gave no liking.

With b = true liking + Normal(0, BUY_SD^2), the answer is no if b < first limit, yes if b > second
limit, else maybe: an ordered probit. A person's two limits are averaged over a grid by the answers
to both questions. Each answer then enters the regression as the normal factor that turns the
person's usual liking into its posterior given the answer (one step of assumed density filtering).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from webapp.palate.data.attribute_space import Floats, Ints
from webapp.palate.data.tastings import Tastings
from webapp.palate.fit.prior import LEVEL

BUY_SD = 1.3
FIRST_USUAL, FIRST_SD = 5.0, 1.0
GAP_USUAL, GAP_LOG_SD = 1.5, 0.4
FIRSTS = FIRST_USUAL + FIRST_SD * np.linspace(-2, 2, 9)
GAPS = GAP_USUAL * np.exp(GAP_LOG_SD * np.linspace(-2, 2, 7))
# The usual liking: its sd, and how many answers the mean over all people counts as.
TRUE_SD, MEAN_COUNTS = 1.4, 3.0
LEAST_CHANCE = 1e-9


@dataclass(frozen=True)
class Indirect:
    """Liking (m,) that the answers in the rows (m,) tell, with the variance (m,) of its error."""

    row: Ints
    liking: Floats
    var: Floats


def liking_from_buying(tastings: Tastings) -> Indirect:
    """Return a value for each tasting that has an answer to buying only."""
    liking, buy = tastings.liking, tastings.would_buy
    row = np.flatnonzero(np.isnan(liking) & ~np.isnan(buy))
    if not len(row):
        return Indirect(row, np.empty(0), np.empty(0))
    low, high = _bounds(buy[row], *_limits(liking, buy))
    given = liking[~np.isnan(liking)]
    usual = (LEVEL * MEAN_COUNTS + given.sum()) / (MEAN_COUNTS + len(given))
    total = TRUE_SD**2 + BUY_SD**2
    mean, var = _truncated(usual, np.sqrt(total), low, high)
    share = TRUE_SD**2 / total
    after, after_var = usual + share * (mean - usual), TRUE_SD**2 - share**2 * (total - var)
    precision = 1 / after_var - 1 / TRUE_SD**2
    return Indirect(row, (after / after_var - usual / TRUE_SD**2) / precision, 1 / precision)


def _limits(liking: Floats, buy: Floats) -> tuple[float, float]:
    """Return the posterior mean of both limits, from the tastings with both answers."""
    both = ~np.isnan(liking) & ~np.isnan(buy)
    first, gap = (grid.reshape(-1, 1) for grid in np.meshgrid(FIRSTS, GAPS))
    low, high = _bounds(buy[both], first, first + gap)
    chance = ndtr((high - liking[both]) / BUY_SD) - ndtr((low - liking[both]) / BUY_SD)
    score = np.log(np.maximum(chance, LEAST_CHANCE)).sum(1)
    score -= 0.5 * ((first[:, 0] - FIRST_USUAL) / FIRST_SD) ** 2
    score -= 0.5 * (np.log(gap[:, 0] / GAP_USUAL) / GAP_LOG_SD) ** 2
    weight = np.exp(score - score.max())
    weight /= weight.sum()
    return float(weight @ first[:, 0]), float(weight @ (first + gap)[:, 0])


def _bounds(buy: Floats, first: Floats | float, second: Floats | float) -> tuple[Floats, Floats]:
    low = np.where(buy < 0, -np.inf, np.where(buy > 0, second, first))
    high = np.where(buy < 0, first, np.where(buy > 0, np.inf, second))
    return low, high


def _truncated(mean: float, sd: float, low: Floats, high: Floats) -> tuple[Floats, Floats]:
    """Return mean and variance of Normal(mean, sd^2) between low and high."""
    a, b = (low - mean) / sd, (high - mean) / sd
    mass = np.maximum(ndtr(b) - ndtr(a), LEAST_CHANCE)
    at_a, at_b = np.exp(-0.5 * a**2), np.exp(-0.5 * b**2)
    norm = mass * np.sqrt(2 * np.pi)
    shift = (at_a - at_b) / norm
    ends = np.where(np.isinf(a), 0.0, a) * at_a - np.where(np.isinf(b), 0.0, b) * at_b
    return mean + sd * shift, sd**2 * (1 + ends / norm - shift**2)
