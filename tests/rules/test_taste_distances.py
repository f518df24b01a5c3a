"""Distances of likings, their drawing, and steadiness, against SciPy and known answers."""

import numpy as np
import pytest
from scipy.spatial.distance import pdist, squareform

from tests.reference.rules.quartiles import quartiles
from tests.reference.rules.steadiness import steadiness
from tests.reference.rules.taste_distances import classical_scaling, taste_distances


def test_taste_distance_matches_scipy_without_levels():
    likings = np.random.default_rng(1).integers(1, 10, (5, 6)).astype(float)
    centred = likings - likings.mean(axis=1, keepdims=True)
    reference = squareform(pdist(centred)) / np.sqrt(6)
    found = taste_distances(likings.tolist())["distances"]
    assert np.array(found, dtype=float) == pytest.approx(reference, abs=1e-12)


def test_taste_distance_needs_three_common_glasses():
    found = taste_distances([[7, 5, 3, None], [6, 4, None, 8], [5, 3, 1, 2]])
    assert found["distances"][0][1] is None
    assert found["distances"][0][2] == pytest.approx(0)
    assert found["closest"] == [2, 2, 0]


def test_scaling_keeps_the_distances_of_plane_points():
    points = np.random.default_rng(2).normal(size=(7, 2))
    distances = squareform(pdist(points))
    found = classical_scaling(distances.tolist())
    assert squareform(pdist(np.array(found["points"]))) == pytest.approx(distances, abs=1e-9)
    assert found["shown"] == pytest.approx(1)


def test_scaling_shows_the_share_of_a_plane():
    # The corners of a regular tetrahedron need three equal axes.
    found = classical_scaling((1 - np.eye(4)).tolist())
    assert found["shown"] == pytest.approx(2 / 3)


def test_scaling_puts_the_furthest_point_on_the_positive_side():
    found = classical_scaling([[0, 1, 3], [1, 0, 2], [3, 2, 0]])
    assert [x for x, _ in found["points"]] == pytest.approx([-4 / 3, -1 / 3, 5 / 3])


def test_steadiness_compares_with_different_wines():
    # Pairs of different wines differ by 2.4 on average, the duplicates by 1.
    found = steadiness({"liking": [7, 3, 6, 5]}, [0, 2])
    assert found["fields"]["liking"] == {"difference": 1, "typical": (4 + 2 + 3 + 2 + 1) / 5}
    assert found["reading"] == "steady"


@pytest.mark.parametrize(
    ("values", "reading"),
    [
        ([5, 5, 5, 5], "no_spread"),
        ([5, 7, 5, None], "too_few"),
        ([5, 7, None, 6], "too_few"),
        ([2, 5, 8, 5], "unsteady"),
        ([5, 3, 7, 8], "between"),
    ],
)
def test_steadiness_has_a_reading_for_each_case(values, reading):
    assert steadiness({"liking": values}, [0, 2])["reading"] == reading


def test_quartiles_enclose_the_middle_half():
    assert quartiles([1, 2, 3, 4, 5]) == {"n": 5, "low": 2, "median": 3, "high": 4}
    assert quartiles([4]) == {"n": 1, "low": 4, "median": 4, "high": 4}
    assert quartiles([])["median"] is None
