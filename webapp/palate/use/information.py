"""Information gain of one more answer: how far it lowers the variance of all predictions.

`expected_variance_reduction` and `informationGain` in static/rules/palate/information_gain.js share
tests/vectors/teaching.json.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from webapp.palate.data.attribute_space import Floats, Ints
from webapp.palate.fit.posterior import Effect, Posterior


@dataclass(frozen=True)
class Candidates:
    """m bottles: features (m, C), style and group (m,), -1 for none."""

    features: Floats
    style: Ints
    group: Ints

    def effects(self, posterior: Posterior) -> list[Effect]:
        return [
            posterior.effect(int(s), int(g)) for s, g in zip(self.style, self.group, strict=True)
        ]


def expected_variance_reduction(
    posterior: Posterior, asked: Candidates, sd: Floats, others: Candidates
) -> Floats:
    """Return (m,) by how much an answer on each of `asked` lowers the mean variance over `others`.

    The variance is that of expected liking; sd (m,) are the standard deviations of the new answers.
    Observing bottle i lowers the variance of f_j by cov(f_i, f_j)^2 / var(answer i), as for any
    joint normal. Styles of one group share half of the variance of a tasted group's effect, and a
    third of `unknown_style_var` if the group was never tasted.
    """
    mine, yours = asked.effects(posterior), others.effects(posterior)
    with_mine = np.array([effect.with_beta for effect in mine]).reshape(asked.features.shape)
    with_yours = np.array([effect.with_beta for effect in yours]).reshape(others.features.shape)
    cov = asked.features @ posterior.cov @ others.features.T
    cov = cov + asked.features @ with_yours.T + with_mine @ others.features.T
    related = (asked.group[:, None] == others.group) & (asked.group[:, None] >= 0)
    shared, theirs = _shared(posterior, asked.group), _shared(posterior, others.group)
    cov += related * np.minimum(shared[:, None], theirs)
    own = np.maximum(np.array([effect.var for effect in mine]) - shared, 0)
    same = (asked.style[:, None] == others.style) & (asked.style[:, None] >= 0)
    cov += same * own[:, None]
    return np.asarray((cov**2).mean(1) / sd**2)


def _shared(posterior: Posterior, groups: Ints) -> Floats:
    return np.array(
        [
            posterior.groups[int(g)].var / 2
            if int(g) in posterior.groups
            else posterior.unknown_style_var / 3
            for g in groups
        ]
    )
