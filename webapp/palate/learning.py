"""learn(): from tastings to a Palate."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Any

import numpy as np

from . import marks as just_right
from .evidence import (
    Mixture,
    Sums,
    attribute_blocks,
    average_repeats,
    collapse,
    keep_likely,
    solve,
    style_effects,
    take_sums,
)
from .features import expected, scatter
from .palate import Palate
from .perception import learn_perception, prior_of, read_values
from .posterior import build_posterior
from .prior import NOISE_USUAL, Grid, extra_noise, full_grid
from .relevance import first_factors, next_factors
from .tastings import LIKED_FROM, Tastings, check_tastings
from .world import Floats, Ints, World

ROUNDS = 4
MARK_ROUNDS = 8
DAMPING = 0.7
NEGLIGIBLE = 1e-3


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
    perception = learn_perception(checked, world)
    before, spread = prior_of(world, checked.style, checked.known_z, checked.known_sd)
    z_mean, z_var = read_values(checked.x_z, before, spread, perception)
    tasted, groups, mixture, sums = _fit(checked, world, z_mean, z_var)
    effects = style_effects(sums, mixture, collapse(mixture)[0])
    posterior = build_posterior(mixture, effects, tasted, groups, world)
    return Palate(world, perception, posterior, _liked_line(checked.liking), checked, z_mean)


def _fit(
    checked: Tastings, world: World, z_mean: Floats, z_var: Floats
) -> tuple[Ints, Ints, Mixture, Sums]:
    rated = ~np.isnan(checked.liking)
    style = checked.style[rated]
    tasted, slot = _slots(style)
    groups = np.unique(world.group_of[tasted])
    features = expected(z_mean[rated], z_var[rated])
    member = style[:, None] >= 0
    of_group = np.append(world.group_of, -1)[style]
    features = np.hstack([features, member * (of_group[:, None] == groups)])
    line_var, _, bend_var = scatter(z_mean[rated], z_var[rated])
    weight = 1 / (1 + extra_noise(line_var, bend_var) / NOISE_USUAL**2)
    answers = average_repeats(
        features, checked.liking[rated], weight, slot, _same_bottle(checked)[rated]
    )
    sums = take_sums(answers, len(tasted))
    grid = full_grid(len(tasted) > 0)
    found = just_right.collect_marks(checked.marks, z_mean, z_var)
    return tasted, groups, _solve(sums, grid, found, len(world.attributes)), sums


def _slots(style: Ints) -> tuple[Ints, Ints]:
    tasted = np.unique(style[style >= 0])
    return tasted, np.where(style >= 0, np.searchsorted(tasted, style), -1)


def _same_bottle(checked: Tastings) -> Ints:
    """A number for each tasting, equal where the bottle is the same.

    Where bottles are not named, tastings of one style with the very same numbers are taken for one
    bottle (a product with a fixed profile).
    """
    n = len(checked)
    if checked.bottle:
        numbers: dict[Hashable, int] = {}
        return np.array(
            [
                i if name is None else numbers.setdefault(name, i)
                for i, name in enumerate(checked.bottle)
            ],
            dtype=np.int64,
        )
    judged = np.isfinite(checked.x_z).any(1)
    table = np.column_stack(
        [np.nan_to_num(checked.x_z, nan=1e9), checked.style, np.where(judged, -1, np.arange(n))]
    )
    return np.asarray(np.unique(table, axis=0, return_inverse=True)[1], dtype=np.int64).reshape(n)


def _solve(sums: Sums, grid: Grid, found: just_right.Marks, k: int) -> Mixture:
    """Expectation propagation over the reaches of the attributes and over the just-right marks."""
    size = len(sums.fy)
    terms = np.zeros((size, size)), np.zeros(size)
    factors = first_factors(grid, k)
    mixture = solve(sums, grid, factors, *terms)
    likely = keep_likely(mixture, NEGLIGIBLE)
    grid, factors = grid[likely], factors[likely]
    mixture = mixture[likely]
    sites = just_right.no_sites(found)
    for _ in range(MARK_ROUNDS if len(found.value) else ROUNDS):
        if len(found.value):
            beta, cov = collapse(mixture)
            sloped = just_right.habitual(found, sites, beta, cov, k)
            link = just_right.learn_link(found, sites, sloped)
            sites = just_right.update_sites(found, sites, sloped, link, DAMPING)
            terms = just_right.normal_terms(found, sites, k, size)
        factors = next_factors(factors, grid, *attribute_blocks(mixture, k))
        mixture = solve(sums, grid, factors, *terms)
    return mixture


def _liked_line(liking: Floats) -> float:
    """Where the chance of "7 or more" is cut: whole answers are rounded ones, so at 6.5."""
    given = liking[~np.isnan(liking)]
    return LIKED_FROM - 0.5 if np.all(given == np.round(given)) else LIKED_FROM
