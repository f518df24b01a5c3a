"""What to try next: three lists of styles that never share an entry."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from webapp.palate.data.attribute_space import Floats, Ints, World
from webapp.palate.data.features import expected
from webapp.palate.fit.posterior import Posterior
from webapp.palate.use.information import Answers, fall_of_doubt
from webapp.palate.use.prediction import score

LIST_LENGTH = 5
# Two styles nearer than this (root mean square over the attributes, in z) would be the same advice
# twice.
ALIKE_Z = 0.45
MOST_OF_A_GROUP = 2
NOT_DISLIKED = 5.0
STRETCH_CHANCE = 0.35


@dataclass(frozen=True)
class NextStyles:
    """Positions in world.styles: close (highest expected), stretch (likely liked, uncertain),
    teaches."""

    close: list[int]
    stretch: list[int]
    teaches: list[int]


def next_styles(world: World, posterior: Posterior, liked_line: float) -> NextStyles:
    """Rank every style of the world by what a usual bottle of it would bring."""
    style = np.arange(len(world.styles))
    z_mean, z_sd = world.usual(style)
    group = world.group_of
    found = score(posterior, z_mean, z_sd**2, style, group, liked_line)
    close = _diverse(found.mean, found.mean >= NOT_DISLIKED, world, ())
    hopeful = found.p_like >= min(STRETCH_CHANCE, float(np.median(found.p_like)))
    unsure = found.sd_of_mean >= np.median(found.sd_of_mean)
    allowed = hopeful & unsure & (found.mean >= NOT_DISLIKED)
    stretch = _diverse(found.mean + found.sd_of_mean, allowed, world, close)
    gain = information(posterior, z_mean, z_sd**2, style, group, found.sd)
    teaches = _diverse(gain, found.mean >= NOT_DISLIKED, world, (*close, *stretch))
    return NextStyles(close, stretch, teaches)


def information(
    posterior: Posterior,
    z_mean: Floats,
    z_var: Floats,
    style: Ints,
    group: Ints,
    sd: Floats,
) -> Floats:
    """(S,) mean fall of the variance of expected liking over all styles after one more answer."""
    styles = Answers(expected(z_mean, z_var), style, group)
    return fall_of_doubt(posterior, styles, sd, styles)


def _diverse(
    value: Floats, allowed: NDArray[np.bool_], world: World, taken: tuple[int, ...] | list[int]
) -> list[int]:
    """Best first, skipping what is taken, nearly alike, or of a group already well served."""
    chosen: list[int] = []
    for i in (int(i) for i in np.argsort(-value, kind="stable")):
        if len(chosen) == LIST_LENGTH:
            break
        if not allowed[i] or i in taken:
            continue
        kin = sum(world.group_of[i] == world.group_of[j] for j in chosen)
        far = all(_apart(world, i, j) > ALIKE_Z for j in chosen)
        if kin < MOST_OF_A_GROUP and far:
            chosen.append(i)
    return chosen


def _apart(world: World, i: int, j: int) -> float:
    return float(np.sqrt(np.mean((world.style_z[i] - world.style_z[j]) ** 2)))
