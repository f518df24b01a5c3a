"""Sums over sorted rows, and values repeated for them."""

from __future__ import annotations

import numpy as np

from webapp.palate.fit.groups import Groups


def test_sum_of_a_group_without_rows_is_zero() -> None:
    groups = Groups(np.array([1, 1, 3]), 5)
    values = np.array([[1.0, 2.0, 4.0], [8.0, 16.0, 32.0]])
    assert groups.sum(values).tolist() == [[0, 3, 0, 4, 0], [0, 24, 0, 32, 0]]


def test_sum_over_no_rows_is_zero() -> None:
    groups = Groups(np.empty(0, dtype=np.int64), 2)
    assert groups.sum(np.empty((3, 0))).tolist() == [[0, 0]] * 3
    assert groups.repeat(np.ones(2)).tolist() == []


def test_value_of_a_group_is_repeated_for_its_rows() -> None:
    groups = Groups(np.array([0, 2, 2]), 3)
    assert groups.repeat(np.array([5.0, 6.0, 7.0])).tolist() == [5, 7, 7]
