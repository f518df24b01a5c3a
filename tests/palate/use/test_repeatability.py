import numpy as np
import pytest

from webapp.palate.use.repeatability import repeatability

# Worked example of within-person repeatability: s_r = sqrt(sum d^2 / 2n), limit 1.96 sqrt(2) s_r
# (ISO 5725 sense; status: computed).
FIRST = [6, 7.5, 4, 8, 5.5, 3, 7, 6.5]
SECOND = [6.5, 7, 4.5, 8.5, 5, 4, 7, 6]


def test_repeatability_matches_the_worked_example():
    found = repeatability(np.array(FIRST + SECOND), [*range(8), *range(8)])
    assert found.within_sd == pytest.approx(0.395285, abs=1e-6)
    assert found.limit == pytest.approx(1.095673, abs=1e-5)
    assert found.freedom == 8
    assert found.bottles[0] == [0, 8]


def test_repeatability_without_repeats_is_empty():
    found = repeatability(np.array([5.0, 6.0, np.nan]), ["a", "b", "a"])
    assert (found.within_sd, found.limit, found.ceiling, found.freedom) == (None, None, None, 0)


def test_tastings_without_a_bottle_are_not_repeats_of_each_other():
    assert repeatability(np.array([5.0, 6.0]), [None, None]).freedom == 0


def test_ceiling_is_one_for_perfect_and_none_for_constant():
    assert repeatability(np.array([3.0, 8.0, 3.0, 8.0]), ["a", "b", "a", "b"]).ceiling == 1.0
    assert repeatability(np.array([5.0, 5.0]), ["a", "a"]).ceiling is None


def test_three_tastings_give_two_degrees_of_freedom():
    found = repeatability(np.array([4.0, 5.0, 6.0]), ["a"] * 3)
    assert found.within_sd == pytest.approx(1.0)
    assert found.freedom == 2
