"""Attributes that sugar and acidity tell, combined with the usual values of a style."""

import numpy as np
import pytest

from webapp.palate import AttributeSpace
from webapp.palate.data.label_values import acidity_of, combined, sweetness_of, with_analysis

NAN = float("nan")


@pytest.mark.parametrize(
    ("sugar", "acidity", "points"),
    [
        (0.0, NAN, 0.0),
        (3.0, NAN, 1.9 * np.log(2)),
        (60.0, 6.0, 1.9 * np.log(21)),
        (60.0, 8.0, 1.9 * np.log(1 + 58 / 3)),
        (60.0, 4.0, 1.9 * np.log(1 + 62 / 3)),
        (2.0, 9.0, 1.9 * np.log(1 + 1 / 3)),
        (2.0, 3.0, 1.9 * np.log(2)),
        (690.0, 6.0, 10.0),
    ],
)
def test_sweetness_follows_the_curve(sugar, acidity, points):
    assert sweetness_of(sugar, acidity) == pytest.approx(points)


def test_acidity_is_interpolated_between_its_points():
    found = acidity_of([1.0, 2.0, 3.0, 4.0, 5.5, 7.0, 9.5, 12.0])
    assert found.tolist() == pytest.approx([0, 0, 1.5, 3, 5, 7, 9.5, 10])


def test_combined_value_is_a_product_of_two_densities():
    mean, sd = combined(np.array([0.4, 0.4]), np.array([0.6, 0.6]), np.array([1.0, NAN]), 0.3)
    precision = 1 / 0.36 + 1 / 0.09
    assert mean == pytest.approx([(0.4 / 0.36 + 1.0 / 0.09) / precision, 0.4])
    assert sd == pytest.approx([precision**-0.5, 0.6])


def test_analysis_changes_sweetness_and_acidity_only():
    world = AttributeSpace(("acidity", "oak", "sweetness"), [5.0, 4.0, 3.0], [2.0, 1.0, 4.0])
    usual, around = np.zeros((2, 3)), np.ones((2, 3))
    mean, sd = with_analysis(world, usual, around, np.array([0.0, NAN]), np.array([7.0, NAN]))
    assert mean[0] == pytest.approx([1 / (1 + 0.36), 0, -0.75 / (1 + 0.04)])
    assert sd[0] == pytest.approx([(1 + 1 / 0.36) ** -0.5, 1, (1 + 1 / 0.04) ** -0.5])
    assert mean[1].tolist() == usual[1].tolist()
    assert sd[1].tolist() == around[1].tolist()
    assert usual.sum() == 0
    assert around.sum() == 6
