"""JAR (just-about-right) ratings, "marks" for short: observations of the slope of liking.

With slope s at the bottle and e ~ Normal(0, doubt^2): s + e above `band` gives "too little" (-1:
liking would rise with more), below -band "too much" (+1), between them "just right" (0). This is an
ordered probit. The slope is linear in the coefficients (line, bend) of its attribute, so the marks
enter the normal posterior by expectation propagation (Minka 2001), in parallel and damped. The
threshold `band` and the noise sd `doubt` are learned from the marks.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.special import log_ndtr, ndtr

from webapp.palate.data.attribute_space import Floats, Ints
from webapp.palate.data.features import slope_rows

BANDS = np.array([0.1, 0.18, 0.3, 0.5, 0.8])
DOUBTS = np.array([0.12, 0.25, 0.5, 1.0, 2.0])
BAND_USUAL, DOUBT_USUAL, LINK_LOG_SD = 0.25, 0.3, 0.8
FAR = 1e3
# Smaller probabilities are computed as logarithms.
LEAST_CHANCE = 1e-12
# About this many marks are enough to fit band and doubt; of more, every n-th one is used.
ENOUGH_FOR_LINK = 400
# Prior sd of a person's bias (as a slope) to ask for more or less of an attribute in every bottle.
HABIT_SD = 0.12


@dataclass(frozen=True)
class JarMarks:
    """R marks: attribute (R,), in ascending order, value (R,) in -1, 0, 1, line, bend (R,).

    slope = line * beta_line + bend * beta_bend. doubt_var (R,) times beta_bend^2 is the variance of
    the slope because the bottle's attribute is uncertain.
    """

    attribute: Ints
    value: Floats
    line: float
    bend: Floats
    doubt_var: Floats

    def __getitem__(self, some: slice) -> JarMarks:
        return JarMarks(
            self.attribute[some],
            self.value[some],
            self.line,
            self.bend[some],
            self.doubt_var[some],
        )


@dataclass(frozen=True)
class Link:
    """Half width of the "just right" band and noise sd, in points of liking per z of attribute."""

    band: float
    doubt: float


@dataclass(frozen=True)
class Sites:
    """Normal factors that approximate the marks: precision and shift of each slope (R,)."""

    precision: Floats
    shift: Floats

    def __getitem__(self, some: slice) -> Sites:
        return Sites(self.precision[some], self.shift[some])


@dataclass(frozen=True)
class SlopePosterior:
    """Posterior of (line + bias, bend) of each attribute: mean (K, 2), covariance (K, 2, 2)."""

    mean: Floats
    cov: Floats


def collect_marks(marks: Floats, mean: Floats, var: Floats) -> JarMarks:
    """Collect the marks entered, with the slope features at the bottles' mean and var (n, K)."""
    attribute, row = np.nonzero(~np.isnan(marks.T))
    line, bend = slope_rows(mean)
    spread = var[row, attribute] * 2 / marks.shape[1]
    return JarMarks(attribute, marks[row, attribute], float(line), bend[row, attribute], spread)


def no_sites(marks: JarMarks) -> Sites:
    """Return sites without information, the start of the iteration."""
    empty = np.zeros(len(marks.value))
    return Sites(empty, empty)


def _by_attribute(marks: JarMarks, sites: Sites, k: int) -> tuple[Floats, Floats]:
    """Sum the sites to precision (K, 2, 2) and shift (K, 2) of (line + bias, bend)."""
    bent = sites.precision * marks.bend
    each = (sites.precision, bent, bent * marks.bend, sites.shift, sites.shift * marks.bend)
    starts = np.searchsorted(marks.attribute, np.arange(k))
    present = np.diff(starts, append=len(marks.attribute)) > 0
    total = np.zeros((5, k))
    if present.any():
        total[:, present] = [np.add.reduceat(one, starts[present]) for one in each]
    precision, shift = np.empty((k, 2, 2)), np.empty((k, 2))
    precision[:, 0, 0] = marks.line**2 * total[0]
    precision[:, 0, 1] = precision[:, 1, 0] = marks.line * total[1]
    precision[:, 1, 1] = total[2]
    shift[:, 0], shift[:, 1] = marks.line * total[3], total[4]
    return precision, shift


def normal_terms(marks: JarMarks, sites: Sites, k: int, size: int) -> tuple[Floats, Floats]:
    """Return what the sites add to precision (P, P) and shift (P,) of beta, bias integrated out."""
    block, pull = _without_bias(marks, *_by_attribute(marks, sites, k))
    precision, shift = np.zeros((size, size)), np.zeros(size)
    line, bend = 1 + np.arange(k), 1 + k + np.arange(k)
    precision[line, line], precision[bend, bend] = block[:, 0, 0], block[:, 1, 1]
    precision[line, bend] = precision[bend, line] = block[:, 0, 1]
    shift[line], shift[bend] = pull[:, 0], pull[:, 1]
    return precision, shift


def _without_bias(marks: JarMarks, block: Floats, pull: Floats) -> tuple[Floats, Floats]:
    """Integrate the bias out of precision (K, 2, 2) and shift (K, 2)."""
    habit = marks.line**2 / HABIT_SD**2
    share = block[:, 0] / (block[:, 0, 0] + habit)[:, None]
    return block - share[:, :, None] * block[:, None, 0], pull - share * pull[:, :1]


def remove_bias(marks: JarMarks, sites: Sites, beta: Floats, cov: Floats, k: int) -> SlopePosterior:
    """Return mean and covariance of (line + bias, bend), given the posterior of beta."""
    at = np.stack([1 + np.arange(k), 1 + k + np.arange(k)], axis=1)
    inner = np.linalg.inv(cov[at[:, :, None], at[:, None, :]])
    inner_shift = np.einsum("kij,kj->ki", inner, beta[at])
    own, own_shift = _by_attribute(marks, sites, k)
    added, added_shift = _without_bias(marks, own, own_shift)
    alone, alone_shift = inner - added, inner_shift - added_shift
    habit = marks.line**2 / HABIT_SD**2
    whole, whole_shift = np.zeros((k, 3, 3)), np.zeros((k, 3))
    whole[:, :2, :2] = own
    whole[:, 0, 0] += habit
    whole[:, 0, 2] = whole[:, 2, 0] = -habit
    whole[:, 2, 2] = alone[:, 0, 0] + habit
    whole[:, 1, 2] = alone[:, 0, 1]
    whole[:, 2, 1] = alone[:, 0, 1]
    whole[:, 1, 1] += alone[:, 1, 1]
    whole_shift[:, :2] = own_shift
    whole_shift[:, 1] += alone_shift[:, 1]
    whole_shift[:, 2] = alone_shift[:, 0]
    spread: Floats = np.linalg.inv(whole).astype(float)
    mean = np.einsum("kij,kj->ki", spread, whole_shift)
    return SlopePosterior(mean[:, :2], spread[:, :2, :2])


def _cavities(marks: JarMarks, sites: Sites, sloped: SlopePosterior) -> tuple[Floats, Floats]:
    """Return mean and variance (R,) of each slope without its own site."""
    counts = np.bincount(marks.attribute, minlength=len(sloped.mean))
    line, bend = sloped.mean.T
    own, shared, bent = sloped.cov[:, 0, 0], sloped.cov[:, 0, 1], sloped.cov[:, 1, 1]
    mean = np.repeat(marks.line * line, counts) + marks.bend * np.repeat(bend, counts)
    var = np.repeat(2 * marks.line * shared, counts) + marks.bend * np.repeat(bent, counts)
    var = np.repeat(marks.line**2 * own, counts) + marks.bend * var
    precision = np.maximum(1 / var - sites.precision, 1e-6)
    return (mean / var - sites.shift) / precision, 1 / precision


def _bounds(value: Floats, band: Floats | float) -> tuple[Floats, Floats]:
    low = np.where(value < 0, band, np.where(value > 0, -FAR, -band))
    high = np.where(value < 0, FAR, np.where(value > 0, -band, band))
    return low, high


def _tails(
    value: Floats, mean: Floats, sd: Floats, band: Floats | float
) -> tuple[Floats, Floats, Floats]:
    """Return the standardized ends of each mark's interval, and the log probability between."""
    low, high = _bounds(value, band)
    a, b = (low - mean) / sd, (high - mean) / sd
    # Mirror the upper tail, so that the difference of probabilities does not cancel.
    flip = a + b < 0
    up, down = np.where(flip, b, -a), np.where(flip, a, -b)
    chance = ndtr(up) - ndtr(down)
    small = chance < LEAST_CHANCE
    log_z = np.log(np.where(small, 1.0, chance))
    if small.any():
        top, bottom = log_ndtr(up[small]), log_ndtr(down[small])
        log_z[small] = top + np.log1p(-np.exp(np.minimum(bottom - top, -1e-12)))
    return a, b, log_z


def log_chance(value: Floats, mean: Floats, var: Floats, band: Floats | float) -> Floats:
    """Return the log probability of each mark when slope plus noise is Normal(mean, var)."""
    return _tails(value, mean, np.sqrt(var), band)[2]


def _tilted(value: Floats, mean: Floats, var: Floats, band: float) -> tuple[Floats, Floats]:
    """Return the first two derivatives (R,) of log_chance with respect to the mean."""
    sd = np.sqrt(var)
    a, b, log_z = _tails(value, mean, sd, band)
    half = 0.5 * np.log(2 * np.pi)
    at_low, at_high = np.exp(-0.5 * a**2 - half - log_z), np.exp(-0.5 * b**2 - half - log_z)
    first = (at_low - at_high) / sd
    second = (np.clip(a, -FAR, FAR) * at_low - np.clip(b, -FAR, FAR) * at_high) / var - first**2
    return first, np.minimum(second, -1e-9)


def fit_link(marks: JarMarks, sites: Sites, sloped: SlopePosterior) -> Link:
    """Average band and doubt over a grid by their posterior weight, given the present cavities."""
    some = slice(None, None, 1 + len(marks.value) // ENOUGH_FOR_LINK)
    share = len(marks.value) / max(len(marks.value[some]), 1)
    marks, sites = marks[some], sites[some]
    mean, var = _cavities(marks, sites, sloped)
    doubt_var = marks.doubt_var * sloped.mean[marks.attribute, 1] ** 2
    band, doubt = (grid.reshape(-1, 1) for grid in np.meshgrid(BANDS, DOUBTS))
    score = share * log_chance(marks.value, mean, var + doubt**2 + doubt_var, band).sum(1)
    score -= 0.5 * (
        (np.log(band[:, 0] / BAND_USUAL) / LINK_LOG_SD) ** 2
        + (np.log(doubt[:, 0] / DOUBT_USUAL) / LINK_LOG_SD) ** 2
    )
    weight = np.exp(score - score.max())
    weight /= weight.sum()
    return Link(*(float(np.exp(weight @ np.log(grid[:, 0]))) for grid in (band, doubt)))


def update_sites(
    marks: JarMarks, sites: Sites, sloped: SlopePosterior, link: Link, damping: float
) -> Sites:
    """Do one parallel step of expectation propagation (Rasmussen & Williams 2006, section 3.6)."""
    mean, var = _cavities(marks, sites, sloped)
    doubt_var = link.doubt**2 + marks.doubt_var * sloped.mean[marks.attribute, 1] ** 2
    first, second = _tilted(marks.value, mean, var + doubt_var, link.band)
    precision = -second / (1 + second * var)
    shift = (first - mean * second) / (1 + second * var)
    return Sites(
        sites.precision + damping * (precision - sites.precision),
        sites.shift + damping * (shift - sites.shift),
    )
