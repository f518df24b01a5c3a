"""JAR (just-about-right) ratings, "marks" for short: observations of the slope of liking.

With slope s at the bottle and e ~ Normal(0, noise^2): s + e above `band` gives "too little" (-1:
liking would rise with more), below -band "too much" (+1), between them "just right" (0). This is an
ordered probit. The slope is linear in the coefficients (line, bend) of its attribute, so the marks
enter the normal posterior by expectation propagation (Minka 2001), in parallel and damped. The
threshold `band` and the noise sd `noise` are learned from the marks.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from webapp.palate.data.attribute_space import Floats, Ints
from webapp.palate.data.features import slope_rows
from webapp.palate.fit.groups import Groups
from webapp.palate.fit.ordered_probit import (
    derivatives_of_right,
    derivatives_of_wish,
    log_chance_of_right,
    log_chance_of_wish,
)

BANDS = np.array([0.1, 0.18, 0.3, 0.5, 0.8])
NOISES = np.array([0.12, 0.25, 0.5, 1.0, 2.0])
BAND_USUAL, NOISE_USUAL, LINK_LOG_SD = 0.25, 0.3, 0.8
# About this many marks are enough to fit band and noise; of more, every n-th one is used.
ENOUGH_FOR_LINK = 400
# Prior sd of a person's bias (as a slope) to ask for more or less of an attribute in every bottle.
HABIT_SD = 0.12


@dataclass(frozen=True)
class JarMarks:
    """R marks: value (R,) in -1, 0, 1, line, bend (R,).

    slope = line * beta_line + bend * beta_bend. bend_var (R,) times beta_bend^2 is the variance of
    the slope because the bottle's attribute is uncertain. The first marks are the `wishes`, which
    are not 0; groups: attribute of each mark, K more if it is 0. sample: positions of the marks to
    which the link is fitted.
    """

    groups: Groups
    value: Floats
    line: float
    bend: Floats
    bend_var: Floats
    wishes: int
    sample: Ints

    @cached_property
    def bend_squared(self) -> Floats:
        return self.bend**2

    @cached_property
    def sampled(self) -> JarMarks:
        """Return the marks of the sample, enough to fit band and noise."""
        some = self.sample
        return JarMarks(
            Groups(self.groups.number[some], len(self.groups.rows)),
            self.value[some],
            self.line,
            self.bend[some],
            self.bend_var[some],
            int(np.searchsorted(some, self.wishes)),
            np.arange(len(some)),
        )


@dataclass(frozen=True)
class Link:
    """Half width of the "just right" band and noise sd, in points of liking per z of attribute."""

    band: float
    noise: float


@dataclass(frozen=True)
class Sites:
    """Normal factors that approximate the marks: precision and shift of each slope (R,).

    block (K, 2, 2) and pull (K, 2): their sums as precision and shift of (line + bias, bend).
    """

    precision: Floats
    shift: Floats
    block: Floats
    pull: Floats


@dataclass(frozen=True)
class SlopePosterior:
    """Posterior of (line + bias, bend) of each attribute: mean (K, 2), covariance (K, 2, 2)."""

    mean: Floats
    cov: Floats


def collect_marks(marks: Floats, mean: Floats, var: Floats) -> JarMarks:
    """Collect the marks entered, with the slope features at the bottles' mean and var (n, K)."""
    k = marks.shape[1]
    attribute, row = np.nonzero(~np.isnan(marks.T))
    value = marks[row, attribute]
    order = np.argsort(value == 0, kind="stable")
    attribute, row, value = attribute[order], row[order], value[order]
    line, bend = slope_rows(mean)
    return JarMarks(
        Groups(attribute + k * (value == 0), 2 * k),
        value,
        float(line),
        bend[row, attribute],
        var[row, attribute] * 2 / k,
        int(np.count_nonzero(value)),
        np.flatnonzero(order % (1 + len(value) // ENOUGH_FOR_LINK) == 0),
    )


def no_sites(marks: JarMarks) -> Sites:
    """Return sites without information, the start of the iteration."""
    return _sites(marks, np.zeros(len(marks.value)), np.zeros(len(marks.value)))


def _sites(marks: JarMarks, precision: Floats, shift: Floats) -> Sites:
    """Sum the sites of each attribute."""
    bent = precision * marks.bend
    each = [precision, bent, precision * marks.bend_squared, shift, shift * marks.bend]
    halves = marks.groups.sum(np.array(each)).reshape(5, 2, -1)
    total = halves[:, 0] + halves[:, 1]
    block = np.empty((total.shape[1], 2, 2))
    block[:, 0, 0] = marks.line**2 * total[0]
    block[:, 0, 1] = block[:, 1, 0] = marks.line * total[1]
    block[:, 1, 1] = total[2]
    return Sites(precision, shift, block, np.column_stack([marks.line * total[3], total[4]]))


def normal_terms(marks: JarMarks, sites: Sites) -> tuple[Floats, Floats]:
    """Return what the sites add to precision (K, 2, 2) and shift (K, 2), bias integrated out."""
    return _without_bias(marks, sites.block, sites.pull)


def _without_bias(marks: JarMarks, block: Floats, pull: Floats) -> tuple[Floats, Floats]:
    """Integrate the bias out of precision (K, 2, 2) and shift (K, 2)."""
    habit = marks.line**2 / HABIT_SD**2
    share = block[:, 0] / (block[:, 0, 0] + habit)[:, None]
    return block - share[:, :, None] * block[:, None, 0], pull - share * pull[:, :1]


def remove_bias(marks: JarMarks, sites: Sites, beta: Floats, cov: Floats) -> SlopePosterior:
    """Return mean and covariance of (line + bias, bend), given the posterior of beta."""
    own, own_shift = sites.block, sites.pull
    k = len(own)
    at = np.stack([1 + np.arange(k), 1 + k + np.arange(k)], axis=1)
    inner = np.linalg.inv(cov[at[:, :, None], at[:, None, :]])
    inner_shift = np.einsum("kij,kj->ki", inner, beta[at])
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


def _cavities(
    marks: JarMarks, precision: Floats, shift: Floats, sloped: SlopePosterior
) -> tuple[Floats, Floats, Floats]:
    """Return mean and variance (R,) of each slope without its own site, and its bend_var."""
    line = marks.line
    own, shared, bent = sloped.cov[:, 0, 0], sloped.cov[:, 0, 1], sloped.cov[:, 1, 1]
    terms = [line * sloped.mean[:, 0], sloped.mean[:, 1], line**2 * own, 2 * line * shared, bent]
    terms.append(sloped.mean[:, 1] ** 2)
    level, rise, own, shared, bent, curve = marks.groups.repeat(np.tile(terms, 2))
    mean = level + marks.bend * rise
    var = own + marks.bend * (shared + marks.bend * bent)
    precision = np.maximum(1 / var - precision, 1e-6)
    return (mean / var - shift) / precision, 1 / precision, marks.bend_var * curve


def fit_link(marks: JarMarks, sites: Sites, sloped: SlopePosterior) -> Link:
    """Average band and noise over a grid by their posterior weight, given the present cavities."""
    some, wishes = marks.sampled, marks.sampled.wishes
    at = sites.precision[marks.sample], sites.shift[marks.sample]
    mean, var, bend_var = _cavities(some, *at, sloped)
    band, noise = (grid.reshape(-1, 1) for grid in np.meshgrid(BANDS, NOISES))
    total = var + bend_var + noise**2
    value, low, right = some.value[:wishes], mean[:wishes], mean[wishes:]
    score = log_chance_of_wish(value, low, total[:, :wishes], band).sum(1)
    score += log_chance_of_right(right, total[:, wishes:], band).sum(1)
    score *= len(marks.value) / max(len(some.value), 1)
    score -= 0.5 * (
        (np.log(band[:, 0] / BAND_USUAL) / LINK_LOG_SD) ** 2
        + (np.log(noise[:, 0] / NOISE_USUAL) / LINK_LOG_SD) ** 2
    )
    weight = np.exp(score - score.max())
    weight /= weight.sum()
    return Link(*(float(np.exp(weight @ np.log(grid[:, 0]))) for grid in (band, noise)))


def update_sites(
    marks: JarMarks, sites: Sites, sloped: SlopePosterior, link: Link, damping: float
) -> Sites:
    """Do one parallel step of expectation propagation (Rasmussen & Williams 2006, section 3.6)."""
    mean, var, bend_var = _cavities(marks, sites.precision, sites.shift, sloped)
    total, n = var + bend_var + link.noise**2, marks.wishes
    wish = derivatives_of_wish(marks.value[:n], mean[:n], total[:n], link.band)
    right = derivatives_of_right(mean[n:], total[n:], link.band)
    first, second = (np.concatenate(parts) for parts in zip(wish, right, strict=True))
    share = damping / (1 + second * var)
    keep = 1 - damping
    precision = keep * sites.precision - share * second
    return _sites(marks, precision, keep * sites.shift + share * (first - mean * second))
