"""Fits a `Palate` to tastings."""

from __future__ import annotations

from typing import Any

import numpy as np

from webapp.palate.data.attribute_space import AttributeSpace, Floats
from webapp.palate.data.tastings import LIKED_FROM, Tastings, check_tastings
from webapp.palate.fit.hyperparameters import fit, quick_log_evidence
from webapp.palate.fit.jar import collect_marks
from webapp.palate.fit.posterior import build_posterior
from webapp.palate.fit.regression import moments, style_effects
from webapp.palate.fit.scale_fit import ScaleFit, candidate_fits
from webapp.palate.fit.sufficient_stats import (
    SufficientStats,
    answers_of,
    same_bottle,
    sufficient_stats,
)
from webapp.palate.use.palate import Palate


def fit_palate(tastings: Any, space: AttributeSpace) -> Palate:
    """Fit one person's palate.

    Parameters
    ----------
    tastings : mapping, or object with attributes, of arrays (see `check_tastings`): X (n, K),
        liking (n,) in 1..9, and optionally just_right (n, K), style (n ids or None), known and
        known_spread (n, K), would_buy (n,) -1, 0 or 1. NaN means "not entered" everywhere. n may
        be 0.
    space : the attributes and styles (see `AttributeSpace`).

    Returns
    -------
    Palate, ready to predict. The fit is deterministic: it uses no random numbers.

    Raises
    ------
    PalateError
        for input outside its bounds or of the wrong shape; it names field, value and bound.
    """
    checked = check_tastings(tastings, space)
    scale_fit, condensed = _best_fit(checked, space)
    found = collect_marks(checked.marks, scale_fit.z_mean, scale_fit.z_var)
    mixture = fit(condensed.sums, found, len(space.attributes))
    effects = style_effects(condensed.sums, mixture, moments(mixture)[0])
    posterior = build_posterior(
        mixture, effects, condensed.tasted, condensed.groups, space, condensed.sums.n
    )
    return Palate(
        scale_fit.space, scale_fit.scale_use, posterior, _like_threshold(checked.liking), checked
    )


def _best_fit(checked: Tastings, space: AttributeSpace) -> tuple[ScaleFit, SufficientStats]:
    """Choose the candidate with the highest evidence of intensities and liking together."""
    bottle = same_bottle(checked)
    answers = answers_of(checked, bottle)
    candidates = [
        (candidate, sufficient_stats(checked, bottle, answers, candidate))
        for candidate in candidate_fits(checked, space)
    ]
    if len(candidates) == 1:
        return candidates[0]
    k = len(space.attributes)
    score = [
        candidate.log_weight + quick_log_evidence(sums.sums, k) for candidate, sums in candidates
    ]
    return candidates[int(np.argmax(score))]


def _like_threshold(liking: Floats) -> float:
    """Return the threshold of "7 or more": 6.5 if all answers are whole (rounded) numbers."""
    given = liking[~np.isnan(liking)]
    return LIKED_FROM - 0.5 if np.all(given == np.round(given)) else LIKED_FROM
