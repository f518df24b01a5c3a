"""Calibration of predictions on simulated tasters with fixed seeds.

Tolerances are about three standard errors for this number of tasters; the benchmark uses more.
"""

import numpy as np
import pytest

from tests.bench.palate.measures import rank_share
from tests.bench.palate.simulated_tasters import Taster
from tests.palate.examples import STYLES, style_names, taster_table
from webapp.palate import fit_palate

TASTERS = 12
FRESH = 150


@pytest.fixture(scope="module")
def evening():
    """Return each taster with 80 bottles to learn from and new bottles to predict."""
    people = [Taster(STYLES, seed) for seed in range(3000, 3000 + TASTERS)]
    return [(person, person.taste(80), person.taste(FRESH)) for person in people]


def predictions(evening, n, marks):
    for person, bottles, fresh in evening:
        palate = fit_palate(taster_table(person, bottles.first(n), marks), person.space)
        yield palate.predict(fresh.X, style_names(person, fresh)), fresh


@pytest.mark.parametrize("marks", [False, True])
@pytest.mark.parametrize("n", [10, 80])
def test_prediction_intervals_cover_80_percent(evening, n, marks):
    inside = [
        np.mean(np.abs(fresh.liking - found.mean) <= 1.2816 * found.sd)
        for found, fresh in predictions(evening, n, marks)
    ]
    assert np.mean(inside) == pytest.approx(0.8, abs=0.06)


@pytest.mark.parametrize("marks", [False, True])
def test_like_probabilities_are_calibrated(evening, marks):
    pairs = [(found.p_like, fresh.liking >= 7) for found, fresh in predictions(evening, 40, marks)]
    chance, liked = (np.concatenate(part) for part in zip(*pairs, strict=True))
    fifths = np.array_split(np.argsort(chance), 5)
    gaps = [chance[fifth].mean() - liked[fifth].mean() for fifth in fifths]
    assert np.abs(gaps).max() < 0.09


def mean_share(evening, n, marks):
    return np.mean(
        [rank_share(fresh.truth, found.mean) for found, fresh in predictions(evening, n, marks)]
    )


def test_jar_marks_on_10_bottles_equal_40_without(evening):
    assert mean_share(evening, 10, True) > mean_share(evening, 40, False) - 0.03


def test_jar_marks_help_at_80_bottles(evening):
    assert mean_share(evening, 80, True) > mean_share(evening, 80, False)


def test_more_bottles_reduce_the_error(evening):
    shares = [mean_share(evening, n, False) for n in (5, 20, 80)]
    assert shares == sorted(shares)
    assert shares[0] > 0.1


def test_ideal_point_intervals_cover_80_percent(evening):
    hits = []
    for person, bottles, _ in evening:
        targets = fit_palate(taster_table(person, bottles, marks=True), person.space).ideal_points()
        for target, true in zip(targets, person.ideal_points(), strict=True):
            if target.shape != "unknown":
                hits.append(target.low - 0.05 <= true <= target.high + 0.05)
    assert len(hits) > 40
    assert np.mean(hits) == pytest.approx(0.8, abs=0.12)
