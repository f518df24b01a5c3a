"""learn(): from tastings to a Palate."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np

from webapp.palate.data.attribute_space import AttributeSpace, Floats
from webapp.palate.data.from_records import Record, read_tastings, to_arrays
from webapp.palate.data.tastings import LIKED_FROM, Tastings, check_tastings
from webapp.palate.data.wine_styles import Style, wine_space
from webapp.palate.fit.hyperparameters import fit, quick_log_evidence
from webapp.palate.fit.jar import collect_marks
from webapp.palate.fit.posterior import build_posterior
from webapp.palate.fit.regression import moments, style_effects
from webapp.palate.fit.scale_fit import ScaleFit, candidate_fits
from webapp.palate.fit.sufficient_stats import SufficientStats, same_bottle, sufficient_stats
from webapp.palate.use.palate import Palate


def fit_palate(tastings: Any, space: AttributeSpace) -> Palate:
    """Learn one person's palate.

    Parameters
    ----------
    tastings : mapping, or object with attributes, of arrays (see `check_tastings`): X (n, K),
        liking (n,) in 1..9, and optionally just_right (n, K), style (n ids or None), known and
        known_spread (n, K). NaN is "not said" everywhere. n may be 0.
    world : the attributes and styles (see `World`).

    Returns
    -------
    Palate, ready to predict. The result is the same for the same input, and needs no random
    numbers.

    Raises
    ------
    PalateError
        for input outside its bounds or of the wrong shape, naming field, value and bound.
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
    """The way to read the tastings under which they, and the liking, are most probable."""
    bottle = same_bottle(checked)
    candidates = [
        (candidate, sufficient_stats(checked, bottle, candidate))
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
    """Where the chance of "7 or more" is cut: whole answers are rounded ones, so at 6.5."""
    given = liking[~np.isnan(liking)]
    return LIKED_FROM - 0.5 if np.all(given == np.round(given)) else LIKED_FROM


def fit_records(
    tastings: Iterable[Record], bottles: Iterable[Record], styles: Sequence[Style]
) -> Palate:
    """The palate of a book's owner; styles is the parsed list of static/spec/styles.json."""
    space = wine_space(styles)
    return fit_palate(to_arrays(read_tastings(tastings, bottles), space), space)
