"""Suggests styles to try: three lists without common entries."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from webapp.palate.data.attribute_space import AttributeSpace, Floats, Ints
from webapp.palate.data.features import expected
from webapp.palate.fit.posterior import Posterior
from webapp.palate.use.information import Candidates, expected_variance_reduction
from webapp.palate.use.prediction import Prediction, score

LIST_LENGTH = 5
# Of two styles nearer than this (root mean square over the attributes, in z) only one is listed.
ALIKE_Z = 0.45
MOST_OF_A_GROUP = 2
NOT_DISLIKED = 5.0
STRETCH_CHANCE = 0.35
# The least sure fifth is never close, so that some styles remain that are less sure than it.
CLOSE_QUANTILE = 0.8
# Values that differ less are equal.
DECIMALS = 9


@dataclass(frozen=True)
class NextStyles:
    """Positions in space.styles of the three lists.

    close: highest prediction, without the least sure; stretch: may be liked, and less sure than
    every close one; teaches: largest information gain, the only list before the first answer, and
    while no style is expected to reach NOT_DISLIKED.
    """

    close: list[int]
    stretch: list[int]
    teaches: list[int]


def next_styles(
    space: AttributeSpace, posterior: Posterior, like_threshold: float, answered: bool = True
) -> NextStyles:
    """Rank every style by the prediction for a usual bottle of it.

    answered: whether there is any answer; without one, every style is expected to be liked alike,
    so none is safe and none a stretch.
    """
    style = np.arange(len(space.styles))
    z_mean, z_sd = space.usual(style)
    group = space.group_of
    found = score(posterior, z_mean, z_sd**2, style, group, like_threshold)
    sd, not_disliked = found.sd_of_mean, found.mean >= NOT_DISLIKED
    if not style.size:
        return NextStyles([], [], [])
    gain = information(posterior, z_mean, z_sd**2, style, group, found.sd)
    if not answered or not np.any(not_disliked):
        # Any of them still teaches somebody who liked nothing so far.
        return NextStyles([], [], _diverse(gain, np.ones_like(not_disliked), space, (), sd))
    most_sd = float(np.quantile(found.sd_of_mean[not_disliked], CLOSE_QUANTILE))
    close = _diverse(found.mean, not_disliked & (found.sd_of_mean <= most_sd), space, (), sd)
    allowed = not_disliked & _less_sure(found, close)
    stretch = _diverse(found.mean + found.sd_of_mean, allowed, space, close, sd)
    teaches = _diverse(gain, not_disliked, space, (*close, *stretch), sd)
    return NextStyles(close, stretch, teaches)


def _less_sure(found: Prediction, close: list[int]) -> NDArray[np.bool_]:
    """Select styles with a wider estimate and a lower chance than all of these, yet some chance."""
    least = min(STRETCH_CHANCE, float(np.median(found.p_like)))
    wider = found.sd_of_mean > found.sd_of_mean[close].max()
    return np.asarray(wider & (found.p_like >= least) & (found.p_like < found.p_like[close].min()))


def information(
    posterior: Posterior,
    z_mean: Floats,
    z_var: Floats,
    style: Ints,
    group: Ints,
    sd: Floats,
) -> Floats:
    """Return (S,) how far one answer on each style lowers the mean variance over all styles."""
    styles = Candidates(expected(z_mean, z_var), style, group)
    return expected_variance_reduction(posterior, styles, sd, styles)


def _diverse(
    value: Floats,
    allowed: NDArray[np.bool_],
    space: AttributeSpace,
    taken: tuple[int, ...] | list[int],
    sd: Floats,
) -> list[int]:
    """Choose styles by value, skipping those taken, similar, or of a group with enough entries.

    Of equal values, the surest (of the lowest sd) comes first.
    """
    chosen: list[int] = []
    for i in (int(i) for i in np.lexsort((sd, -np.round(value, DECIMALS)))):
        if len(chosen) == LIST_LENGTH:
            break
        if not allowed[i] or i in taken:
            continue
        related = sum(space.group_of[i] == space.group_of[j] for j in chosen)
        far = all(_apart(space, i, j) > ALIKE_Z for j in chosen)
        if related < MOST_OF_A_GROUP and far:
            chosen.append(i)
    return chosen


def _apart(space: AttributeSpace, i: int, j: int) -> float:
    return float(np.sqrt(np.mean((space.style_z[i] - space.style_z[j]) ** 2)))
