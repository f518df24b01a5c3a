"""Pruning of grid points, and which tastings without a name are of one bottle."""

from __future__ import annotations

import numpy as np
import pytest

from webapp.palate import AttributeSpace
from webapp.palate.data.tastings import check_tastings
from webapp.palate.fit.observations import average_repeats
from webapp.palate.fit.prior import Grid
from webapp.palate.fit.regression import Mixture, accumulate, prune
from webapp.palate.fit.sufficient_stats import same_bottle


def mixture(*weights: float) -> Mixture:
    n = len(weights)
    grid = Grid(*(np.arange(1.0, n + 1) for _ in range(5)))
    means = np.arange(2.0 * n).reshape(n, 2)
    return Mixture(np.array(weights), means, np.zeros((n, 2, 2)), grid, -3.0)


@pytest.mark.parametrize(
    ("least", "kept"),
    [(1.0, [False, True, False]), (0.5, [True, True, False]), (0.0, [True, True, True])],
)
def test_grid_point_at_the_minimum_share_is_retained(least: float, kept: list[bool]) -> None:
    assert prune(mixture(0.25, 0.5, 0.125), least).tolist() == kept


def test_retained_points_have_total_weight_one() -> None:
    part = mixture(0.2, 0.6, 0.2)[np.array([True, True, False])]
    assert part.weight == pytest.approx([0.25, 0.75])
    assert part.mean.tolist() == [[0.0, 1.0], [2.0, 3.0]]
    assert part.cov.shape == (2, 2, 2)
    assert part.grid.signal.tolist() == [1.0, 2.0]
    assert part.log_evidence == -3.0


def test_equal_profiles_of_one_style_are_one_bottle() -> None:
    world = AttributeSpace(["a", "b"], [0.0, 0.0], [1.0, 1.0], ["s", "t"])
    x = [[0.0, 1], [-0.0, 1], [0.0, 2], [0.0, 1], [None, 1], [None, 1], [None, None], [None, None]]
    style = ["s", "s", "s", "t", "s", "s", "s", "s"]
    table = {"X": np.array(x, dtype=float), "liking": [5.0] * 8, "style": style}
    found = same_bottle(check_tastings(table, world))
    assert found.tolist() == [0, 0, 2, 3, 4, 4, 6, 7]


@pytest.mark.parametrize(("bottles", "kept"), [(2, True), (3, False), (4, False)])
def test_bottles_are_kept_if_far_fewer_than_features(bottles: int, kept: bool) -> None:
    nine, slot = np.ones((bottles, 9)), np.zeros(bottles, dtype=int)
    one = average_repeats(nine, np.ones(bottles), np.ones(bottles), slot, np.arange(bottles))
    assert (accumulate(one, 1).rows is one) is kept
    assert (accumulate(one, 1).rows is None) is not kept
