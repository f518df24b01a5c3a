"""Estimates how well a person repeats their own liking, from bottles tasted more than once."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Sequence
from dataclasses import dataclass

import numpy as np

from webapp.palate.data.attribute_space import Floats

# 95 % limit of the difference of two answers, 2.77 (as in ISO 5725; status: computed).
LIMIT_FACTOR = 1.96 * np.sqrt(2)


@dataclass(frozen=True)
class Repeatability:
    """Within-person spread of repeated answers, in points of liking; None without repeats.

    within_sd: s_r over all repeats; limit: 2.77 s_r; ceiling: the highest correlation that any
    prediction of single answers can reach, sqrt(1 - s_r^2 / variance of all answers); freedom:
    degrees of freedom; bottles: row numbers of each repeated bottle.
    """

    within_sd: float | None
    limit: float | None
    ceiling: float | None
    freedom: int
    bottles: list[list[int]]


def repeatability(liking: Floats, bottle: Sequence[Hashable]) -> Repeatability:
    """Compute it from n answers (NaN: none) and the n names of their bottles (None: not known).

    s_r = sqrt(sum of squares about each bottle's mean / degrees of freedom), for pairs sqrt(sum d^2
    / 2n). Mirrored in static/rules/stats/repeatability.js, for hidden repeats of one visit.
    """
    rows: dict[Hashable, list[int]] = defaultdict(list)
    for i, name in enumerate(bottle):
        if name is not None and not np.isnan(liking[i]):
            rows[name].append(i)
    repeated = [found for found in rows.values() if len(found) > 1]
    freedom = sum(len(found) - 1 for found in repeated)
    if not freedom:
        return Repeatability(None, None, None, 0, [])
    squares = sum(
        float(((liking[r] - liking[r].mean()) ** 2).sum()) for r in map(np.array, repeated)
    )
    within = float(np.sqrt(squares / freedom))
    total = float(np.nanvar(liking))
    ceiling = float(np.sqrt(max(0.0, 1 - within**2 / total))) if total > 0 else None
    return Repeatability(within, float(LIMIT_FACTOR * within), ceiling, freedom, repeated)
