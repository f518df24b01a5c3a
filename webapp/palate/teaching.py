"""What one more answer would teach: how far it lowers the doubt about all styles.

`teaching` and `teaching` in static/rules/palate/information_gain.js are twins over
tests/vectors/teaching.json.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from .compact import PROFILE_UNIT, bottle_in_z, read_posterior, score_bottle
from .features import expected
from .posterior import Effect, Posterior
from .world import Floats, Ints


@dataclass(frozen=True)
class Answers:
    """Bottles as the posterior sees them: features (m, C), style and group (m,), -1 for none."""

    features: Floats
    style: Ints
    group: Ints

    def effects(self, posterior: Posterior) -> list[Effect]:
        return [
            posterior.effect(int(s), int(g)) for s, g in zip(self.style, self.group, strict=True)
        ]


def fall_of_doubt(posterior: Posterior, asked: Answers, sd: Floats, others: Answers) -> Floats:
    """(m,) mean fall of the variance of expected liking over `others` after an answer on each of
    `asked`, whose new answers have the standard deviations sd (m,).

    Observing bottle i lowers the variance of f_j by cov(f_i, f_j)^2 / var(answer i), as for any
    joint normal. Styles of one group share half of what is unknown of a known group, a third of
    what is unknown of a stranger.
    """
    mine, yours = asked.effects(posterior), others.effects(posterior)
    with_mine = np.array([effect.with_beta for effect in mine]).reshape(asked.features.shape)
    with_yours = np.array([effect.with_beta for effect in yours]).reshape(others.features.shape)
    cov = asked.features @ posterior.cov @ others.features.T
    cov = cov + asked.features @ with_yours.T + with_mine @ others.features.T
    kin = (asked.group[:, None] == others.group) & (asked.group[:, None] >= 0)
    shared, theirs = _shared(posterior, asked.group), _shared(posterior, others.group)
    cov += kin * np.minimum(shared[:, None], theirs)
    own = np.maximum(np.array([effect.var for effect in mine]) - shared, 0)
    same = (asked.style[:, None] == others.style) & (asked.style[:, None] >= 0)
    cov += same * own[:, None]
    return np.asarray((cov**2).mean(1) / sd**2)


def _shared(posterior: Posterior, groups: Ints) -> Floats:
    return np.array(
        [
            posterior.groups[int(g)].var / 2
            if int(g) in posterior.groups
            else posterior.stranger_var / 3
            for g in groups
        ]
    )


def teaching(compact: Mapping[str, Any], bottle: Mapping[str, Any]) -> float:
    """`fall_of_doubt` over a usual bottle of every style, from the compact form alone.

    bottle: as `score_bottle` takes it. In squared points of liking.
    """
    styles = list(compact["profiles"])
    posterior = read_posterior(compact, styles)
    k = len(compact["attributes"])
    usual = np.array([compact["profiles"][name][1:] for name in styles]) / PROFILE_UNIT
    group = np.array([compact["profiles"][name][0] for name in styles], dtype=int)
    others = Answers(expected(usual[:, :k], usual[:, k:] ** 2), np.arange(len(styles)), group)
    z_mean, z_var = bottle_in_z(compact, bottle)
    at = styles.index(bottle["style"]) if bottle.get("style") in compact["profiles"] else -1
    asked = Answers(
        expected(z_mean, z_var), np.array([at]), np.array([-1 if at < 0 else group[at]])
    )
    sd = np.array([score_bottle(compact, bottle)["sd"]])
    return float(fall_of_doubt(posterior, asked, sd, others)[0])
