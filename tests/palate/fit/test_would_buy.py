"""Liking from the answer to "would you buy it?", against numerical integration and in the fit."""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import norm

from tests.palate.examples import plain_tastings, plain_world
from webapp.palate import fit_palate
from webapp.palate.data.tastings import check_tastings
from webapp.palate.errors import PalateError
from webapp.palate.fit.prior import LEVEL
from webapp.palate.fit.would_buy import BUY_SD, TRUE_SD, _limits, liking_from_buying


def checked(liking, buy):
    n = len(buy)
    table = {"X": np.full((n, 3), 5.0), "liking": liking, "would_buy": buy}
    return check_tastings(table, plain_world())


@pytest.mark.parametrize("buy", [-1.0, 0.0, 1.0])
def test_buying_gives_the_normal_factor_of_the_posterior(buy):
    found = liking_from_buying(checked([np.nan], [buy]))
    first, second = _limits(np.full(1, np.nan), np.full(1, np.nan))
    low, high = {-1.0: (-np.inf, first), 0.0: (first, second), 1.0: (second, np.inf)}[buy]

    def density(x, power=0):
        chance = norm.cdf(high, x, BUY_SD) - norm.cdf(low, x, BUY_SD)
        return norm.pdf(x, LEVEL, TRUE_SD) * chance * x**power

    mass, one, two = (quad(density, -5, 16, args=(power,))[0] for power in range(3))
    mean, var = one / mass, two / mass - (one / mass) ** 2
    precision = 1 / TRUE_SD**2 + 1 / found.var[0]
    assert 1 / precision == pytest.approx(var, rel=1e-6)
    combined = (LEVEL / TRUE_SD**2 + found.liking[0] / found.var[0]) / precision
    assert combined == pytest.approx(mean, rel=1e-6)


def test_limits_follow_the_answers_to_both_questions():
    liking = np.tile([5.0, 6.0, 7.0, 8.0, 9.0], 6)
    strict = np.where(liking >= 9, 1.0, np.where(liking >= 7, 0.0, -1.0))
    easy = np.where(liking >= 6, 1.0, 0.0)
    hard_to_please, easy_to_please = _limits(liking, strict), _limits(liking, easy)
    assert hard_to_please[0] > 6 > easy_to_please[0]
    assert hard_to_please[1] > 8 > 6.5 > easy_to_please[1]


def test_only_tastings_without_liking_are_read():
    found = liking_from_buying(checked([8.0, np.nan, np.nan], [1.0, -1.0, np.nan]))
    assert found.row.tolist() == [1]


def palate_of(table):
    return fit_palate(table, plain_world())


def test_buying_teaches_less_than_liking_but_something():
    table = plain_tastings(60, marks=False)
    buy = np.where(table["liking"] >= 7, 1.0, np.where(table["liking"] >= 5, 0.0, -1.0))
    none = {**table, "liking": np.full(60, np.nan)}
    x = [[6.0, 5.0, 5.0], [0.5, 5.0, 5.0]]
    nothing, bought, rated = (
        palate_of(each).predict(x) for each in (none, {**none, "would_buy": buy}, table)
    )
    gaps = [float(found.mean[0] - found.mean[1]) for found in (nothing, bought, rated)]
    assert gaps[0] == 0 < 1 < gaps[1] < gaps[2]
    assert np.all(nothing.sd_of_mean > bought.sd_of_mean)
    assert np.all(bought.sd_of_mean > rated.sd_of_mean)


def test_buying_is_left_alone_where_the_bottle_is_rated():
    table = plain_tastings(12, marks=False)
    table["bottle"] = [f"b{i // 2}" for i in range(12)]
    table["liking"][::2] = np.nan
    buy = np.where(np.isnan(table["liking"]), -1.0, np.nan)
    plain, more = palate_of(table), palate_of({**table, "would_buy": buy})
    assert more.compact() == plain.compact()


@pytest.mark.parametrize("buy", [[0.5], [2.0], [1.0, 0.0]])
def test_wrong_answers_to_buying_are_refused(buy):
    with pytest.raises(PalateError, match="would_buy"):
        check_tastings({"X": [[5.0] * 3], "liking": [7.0], "would_buy": buy}, plain_world())


def test_nothing_is_told_without_answers_to_buying():
    found = liking_from_buying(checked([8.0, np.nan], [1.0, np.nan]))
    assert [len(part) for part in (found.row, found.liking, found.var)] == [0, 0, 0]


def test_limits_of_many_answers_are_those_of_few():
    liking, buy = np.tile([4.0, 5.5, 7.0, 8.5], 500), np.tile([-1.0, 0.0, 1.0, 1.0], 500)
    assert _limits(liking, buy) == pytest.approx((4.75, 6.25), abs=0.4)


@pytest.mark.parametrize(("buy", "liked"), [(-1.0, 2.0), (0.0, 5.5), (1.0, 9.0)])
def test_limits_are_the_mean_over_their_grid(buy, liked):
    """Compare with a sum over the grid of the chances of the answers (scipy.stats.norm)."""
    found = _limits(np.array([liked, 6.0, np.nan]), np.array([buy, 0.0, 1.0]))
    total, one, two = 0.0, 0.0, 0.0
    for first in np.linspace(3.0, 7.0, 9):
        for gap in 1.5 * np.exp(np.linspace(-0.8, 0.8, 7)):
            ends = {-1.0: (-np.inf, first), 0.0: (first, first + gap), 1.0: (first + gap, np.inf)}
            weight = norm.pdf(first, 5.0, 1.0) * norm.pdf(np.log(gap), np.log(1.5), 0.4)
            for given, answer in ((liked, buy), (6.0, 0.0)):
                low, high = ends[answer]
                weight *= norm.cdf(high, given, 1.3) - norm.cdf(low, given, 1.3)
            total += weight
            one += weight * first
            two += weight * (first + gap)
    assert found == pytest.approx((one / total, two / total))
