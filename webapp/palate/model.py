"""learn(): from tastings to a Palate."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np

from webapp.palate.data.attribute_space import Floats, World
from webapp.palate.data.from_records import Record, as_arrays, read_book
from webapp.palate.data.tastings import LIKED_FROM, Tastings, check_tastings
from webapp.palate.data.wine_styles import Style, wine_world
from webapp.palate.fit.hyperparameters import fit, quick_log_evidence
from webapp.palate.fit.jar import collect_marks
from webapp.palate.fit.posterior import build_posterior
from webapp.palate.fit.regression import collapse, style_effects
from webapp.palate.fit.scale_fit import Reading, readings
from webapp.palate.fit.sufficient_stats import Condensed, condense, same_bottle
from webapp.palate.use.palate import Palate


def learn(tastings: Any, world: World) -> Palate:
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
    checked = check_tastings(tastings, world)
    reading, condensed = _best_reading(checked, world)
    found = collect_marks(checked.marks, reading.z_mean, reading.z_var)
    mixture = fit(condensed.sums, found, len(world.attributes))
    effects = style_effects(condensed.sums, mixture, collapse(mixture)[0])
    posterior = build_posterior(
        mixture, effects, condensed.tasted, condensed.groups, world, condensed.sums.n
    )
    return Palate(
        reading.world, reading.perception, posterior, _liked_line(checked.liking), checked
    )


def _best_reading(checked: Tastings, world: World) -> tuple[Reading, Condensed]:
    """The way to read the tastings under which they, and the liking, are most probable."""
    bottle = same_bottle(checked)
    ways = [(way, condense(checked, bottle, way)) for way in readings(checked, world)]
    if len(ways) == 1:
        return ways[0]
    k = len(world.attributes)
    score = [way.log_weight + quick_log_evidence(sums.sums, k) for way, sums in ways]
    return ways[int(np.argmax(score))]


def _liked_line(liking: Floats) -> float:
    """Where the chance of "7 or more" is cut: whole answers are rounded ones, so at 6.5."""
    given = liking[~np.isnan(liking)]
    return LIKED_FROM - 0.5 if np.all(given == np.round(given)) else LIKED_FROM


def learn_book(
    tastings: Iterable[Record], bottles: Iterable[Record], styles: Sequence[Style]
) -> Palate:
    """The palate of a book's owner; styles is the parsed list of static/spec/styles.json."""
    world = wine_world(styles)
    return learn(as_arrays(read_book(tastings, bottles), world), world)
