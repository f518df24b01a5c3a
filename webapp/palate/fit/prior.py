"""The prior, and the grid of hyperparameters that is summed over.

beta = [level, K linear terms (line), K quadratic terms (bend), one effect per style group]. Each
attribute has a relevance: how much it matters to this person. Given the relevance, the mean of bend
is negative (people have ideal points) and proportional to it, and line is normal around 0 with a
proportional sd (so that ideal points lie mostly within the space). `signal` scales all of them; the
1 / sqrt(K) in the features keeps the total independent of the number of attributes. Style effects
are normal within their group. The numbers are in points of the 1..9 scale. They are our own choice
(common practice, no source) and were not fitted to any panel.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from webapp.palate.data.attribute_space import Floats
from webapp.palate.fit.overlap import USUAL_OVERLAP

Levels = tuple[float, ...]

LEVEL, LEVEL_SD = 5.6, 1.2
# Seven equally likely values, near the quantiles of an exponential distribution of mean square 1.
RELEVANCES = np.array([0.05, 0.19, 0.36, 0.58, 0.86, 1.27, 2.0])
BEND, BEND_SD, LINE_SD, STRAIGHT_SD = 0.6, 0.2, 0.77, 0.25
# Above this share of the usual curvature, none at all is not considered.
LEAST_STRAIGHT = 0.97
# With fewer answers, the prior curvature is proportional to their number.
ENOUGH_ANSWERS = 5
GROUP_SHARE = 0.8
SIGNALS = (0.25, 0.6, 1.1, 2.0)
STYLE_SDS = (0.15, 0.45, 1.2)
NOISES = (0.5, 0.75, 1.05, 1.45, 2.1)
NARROW = 0.5
FINER_STEPS = np.array([-1.4, 0.0, 1.4])
SIGNAL_USUAL, STYLE_USUAL, NOISE_USUAL = 0.95, 0.4, 1.1
SIGNAL_LOG_SD, STYLE_LOG_SD, NOISE_LOG_SD = 0.6, 0.8, 0.5


@dataclass(frozen=True)
class Grid:
    """Q points of (signal, style sd, noise sd), in points of liking, with log prior weights.

    bend (Q,): prior mean of the curvature at a relevance and signal of 1.
    """

    signal: Floats
    style_sd: Floats
    noise: Floats
    bend: Floats
    log_weight: Floats

    def __getitem__(self, keep: NDArray[np.bool_]) -> Grid:
        return Grid(
            self.signal[keep],
            self.style_sd[keep],
            self.noise[keep],
            self.bend[keep],
            self.log_weight[keep],
        )


@dataclass(frozen=True)
class Curvature:
    """Values of the prior mean of bend, and their log odds."""

    bend: Levels
    log_odds: Levels


def curvature_prior(overlap: float, answers: float) -> Curvature:
    """Return the prior of the mean curvature in a world whose attributes overlap so much.

    The same curvature of each attribute adds up where attributes tell the same thing, so it is
    divided by the overlap, and it may be none: few effective attributes decide about the whole.
    Of somebody who answered nothing it is none, so that every bottle is expected to be liked alike.
    """
    share = min(1.0, USUAL_OVERLAP / overlap)
    bend = BEND * share * min(1.0, answers / ENOUGH_ANSWERS)
    if share > LEAST_STRAIGHT or bend == 0:
        return Curvature((bend,), (0.0,))
    return Curvature((0.0, bend), (float(np.log1p(-(share**2))), float(np.log(share**2))))


def full_grid(with_styles: bool, curvature: Curvature) -> Grid:
    """Return the grid of all combinations; without tasted styles, style_sd is not varied."""
    return _grid(SIGNALS, STYLE_SDS if with_styles else (STYLE_USUAL,), NOISES, curvature)


def quick_grid(with_styles: bool, curvature: Curvature) -> Grid:
    """Return a coarse grid, every other step: enough to compare candidate fits."""
    styles = STYLE_SDS[:2] if with_styles else (STYLE_USUAL,)
    return _grid(SIGNALS[1::2], styles, NOISES[::2], curvature)


def refined_grid(grid: Grid, weight: Floats, curvature: Curvature) -> Grid | None:
    """Refine the steps of each direction in which the weights (Q,) are narrower than the steps.

    Returns None when no direction needs it.
    """
    found = [_refined(values, weight) for values in (grid.signal, grid.style_sd, grid.noise)]
    if not any(finer for _, finer in found):
        return None
    signals, style_sds, noises = (levels for levels, _ in found)
    return _grid(signals, style_sds, noises, curvature)


def _refined(values: Floats, weight: Floats) -> tuple[Levels, bool]:
    own, logs = np.unique(values), np.log(values)
    if len(own) == 1:
        return tuple(own), False
    centre = float(weight @ logs)
    sd = float(np.sqrt(weight @ (logs - centre) ** 2))
    step = float(np.diff(np.log(own)).mean())
    if sd >= NARROW * step:
        return tuple(own), False
    return tuple(np.exp(centre + max(sd, step / 4) * FINER_STEPS)), True


def _grid(signals: Levels, style_sds: Levels, noises: Levels, curvature: Curvature) -> Grid:
    bends = tuple(zip(curvature.bend, curvature.log_odds, strict=True))
    points = [(*first, *bend) for *first, bend in product(signals, style_sds, noises, bends)]
    signal, style_sd, noise, bend, log_odds = np.array(points).T
    log_weight = log_odds - 0.5 * (
        (np.log(signal / SIGNAL_USUAL) / SIGNAL_LOG_SD) ** 2
        + (np.log(style_sd / STYLE_USUAL) / STYLE_LOG_SD) ** 2
        + (np.log(noise / NOISE_USUAL) / NOISE_LOG_SD) ** 2
    )
    return Grid(signal, style_sd, noise, bend, log_weight)


@dataclass(frozen=True)
class RelevanceMixture:
    """R normal components, at Q grid points, of the prior of one attribute's (line, bend).

    bend: mean of bend, line_var, bend_var: variances; each (Q, R). The mean of line is 0.
    """

    bend: Floats
    line_var: Floats
    bend_var: Floats


def relevance_mixture(grid: Grid) -> RelevanceMixture:
    """Return the R equally likely components at every grid point."""
    size = grid.signal[:, None] * RELEVANCES
    straight = (STRAIGHT_SD * grid.signal[:, None]) ** 2
    return RelevanceMixture(
        -grid.bend[:, None] * size,
        (LINE_SD * size) ** 2 + straight,
        (BEND_SD * size) ** 2 + straight / 25,
    )


def extra_noise(line_var: Floats, bend_var: Floats) -> Floats:
    """Return the variance of liking (n,) that uncertain attributes add, under the prior."""
    expected: Floats = SIGNAL_USUAL**2 * (line_var * LINE_SD**2 + BEND**2 * bend_var).sum(1)
    return expected
