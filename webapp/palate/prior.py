"""What is believed before the first bottle, and the grid of hyperparameters that is summed over.

beta = [level, K lines, K bends, one effect a style group] with independent normal priors. The bends have a
negative mean (people have ideal points); lines and bends scale with `signal`; the 1 / sqrt(K) in the features
keeps the total independent of the number of attributes. Style effects are normal within their group.
The priors of the hyperparameters are wide log-normals over liking points of the 1..9 scale; they are
our own choice (common practice, no source) and were not fitted to any panel.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import numpy as np

from .world import Floats

LEVEL, LEVEL_SD = 5.6, 1.2
BEND_MEAN, BEND_SD = -0.6, 0.5
GROUP_SHARE = 0.8
SIGNALS = (0.15, 0.35, 0.65, 1.0, 1.5, 2.3)
STYLE_SDS = (0.15, 0.4, 0.8, 1.5)
NOISES = (0.5, 0.75, 1.0, 1.3, 1.7, 2.3)
SIGNAL_USUAL, STYLE_USUAL, NOISE_USUAL = 0.9, 0.4, 1.1
SIGNAL_LOG_SD, STYLE_LOG_SD, NOISE_LOG_SD = 0.7, 0.6, 0.4


@dataclass(frozen=True)
class Grid:
    """Q points of (signal, style sd, noise sd), in points of liking, with their log prior weights."""

    signal: Floats
    style_sd: Floats
    noise: Floats
    log_weight: Floats

    def __getitem__(self, keep: Floats) -> Grid:
        return Grid(self.signal[keep], self.style_sd[keep], self.noise[keep], self.log_weight[keep])


def full_grid(with_styles: bool) -> Grid:
    """Every combination; without tasted styles their spread is not varied."""
    style_sds = STYLE_SDS if with_styles else (STYLE_USUAL,)
    points = np.array(list(product(SIGNALS, style_sds, NOISES)))
    signal, style_sd, noise = points.T
    log_weight = -0.5 * (
        (np.log(signal / SIGNAL_USUAL) / SIGNAL_LOG_SD) ** 2
        + (np.log(style_sd / STYLE_USUAL) / STYLE_LOG_SD) ** 2
        + (np.log(noise / NOISE_USUAL) / NOISE_LOG_SD) ** 2
    )
    return Grid(signal, style_sd, noise, log_weight)


def prior_moments(grid: Grid, k: int, groups: int, relevance: Floats) -> tuple[Floats, Floats]:
    """Prior mean and variance (Q, 1 + 2K + groups) of beta at every grid point.

    relevance (K,): how much each attribute may matter against the others; 1 is usual.
    """
    q = len(grid.signal)
    mean, var = np.zeros((q, 1 + 2 * k + groups)), np.empty((q, 1 + 2 * k + groups))
    mean[:, 0], var[:, 0] = LEVEL, LEVEL_SD**2
    reach = grid.signal[:, None] * np.sqrt(relevance)
    var[:, 1 : 1 + k] = reach**2
    mean[:, 1 + k : 1 + 2 * k] = BEND_MEAN * reach
    var[:, 1 + k : 1 + 2 * k] = (BEND_SD * reach) ** 2
    var[:, 1 + 2 * k :] = (GROUP_SHARE * grid.style_sd[:, None]) ** 2
    return mean, var


def extra_noise(line_var: Floats, bend_var: Floats) -> Floats:
    """Variance of liking (n,) that not knowing the attributes exactly adds, under the prior."""
    return SIGNAL_USUAL**2 * (line_var + (BEND_MEAN**2 + BEND_SD**2) * bend_var).sum(1)
