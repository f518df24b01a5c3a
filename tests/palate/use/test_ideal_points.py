import numpy as np
import pytest

from tests.palate.examples import plain_tastings, plain_world
from webapp.palate import Printed, fit_palate
from webapp.palate.fit.posterior import Posterior
from webapp.palate.fit.scale_use import ScaleUse
from webapp.palate.use.ideal_points import find_ideal_points, maximum, printed_range

NONE = np.zeros(1)
AS_EVERYBODY = ScaleUse(NONE, NONE + 1, NONE, NONE, NONE, 0.3)


def sure(line, bend, sd=0.01):
    """Return a posterior of one attribute with a given sd."""
    cov = np.diag([0.01, sd**2, sd**2])
    return Posterior(np.array([6.0, line, bend]), cov, {}, {}, 0.2, 1.0)


def only_target(line, bend, sd=0.01, perception=AS_EVERYBODY):
    return find_ideal_points(plain_world(1), perception, sure(line, bend, sd))[0]


def test_ideal_point_has_zero_slope():
    # d/dz (line z + bend z^2 / sqrt 2) = 0 at z = -line / (sqrt 2 bend); on the scale 5 + 2 z.
    found = only_target(0.5, -0.7)
    assert found.target == pytest.approx(5 + 2 * 0.5 / (np.sqrt(2) * 0.7), abs=0.05)
    assert found.shape == "peak"
    assert found.low < found.target < found.high


@pytest.mark.parametrize(("line", "shape", "end"), [(0.9, "more", 10.0), (-0.9, "less", 0.0)])
def test_without_curvature_the_best_is_an_end(line, shape, end):
    found = only_target(line, 0.0)
    assert (found.shape, found.target) == (shape, end)


def test_unknown_attribute_has_no_ideal_point():
    found = only_target(0.0, -0.1, sd=0.8)
    assert (found.shape, found.target) == ("unknown", None)
    assert found.high - found.low > 5


def test_ideal_point_is_on_the_tasters_scale():
    reads_high = ScaleUse(NONE + 0.5, NONE + 1, NONE, NONE, NONE, 0.3)
    own, plain = only_target(0.5, -0.7, perception=reads_high), only_target(0.5, -0.7)
    assert own.target == pytest.approx(plain.target + 0.5 * 2)


def test_more_uncertainty_widens_the_interval():
    wide, narrow = only_target(0.5, -0.7, sd=0.1), only_target(0.5, -0.7, sd=0.02)
    assert wide.high - wide.low > 2 * (narrow.high - narrow.low)


def test_best_point_matches_a_fine_grid():
    rng = np.random.default_rng(0)
    line, bend = rng.normal(size=(2, 300))
    z = np.linspace(-2, 1.5, 3501)
    grid = z[np.argmax(line[:, None] * z + bend[:, None] * z**2 / np.sqrt(2), axis=1)]
    assert maximum(line, bend, (-2.0, 1.5)) == pytest.approx(grid, abs=1.1e-3)


def printed_world():
    return plain_world(1, printed=Printed("a0", -5.0, 0.8, 0.3, 5.0, 20.0))


def test_printed_range_is_within_half_a_point_of_the_best():
    found = printed_range(printed_world(), sure(0.4, -1.0))
    numbers = np.arange(5.0, 20.05, 0.1)
    z = (-5.0 + 0.8 * numbers - 5) / 2
    liking = 0.4 * z - z**2 / np.sqrt(2)
    good = numbers[liking >= liking.max() - 0.5]
    assert found.low == pytest.approx(good[0], abs=0.11)
    assert found.high == pytest.approx(good[-1], abs=0.11)
    assert found.best == pytest.approx(numbers[liking.argmax()], abs=0.11)
    assert found.low_between[0] <= found.low <= found.low_between[1]
    assert found.known


def test_flat_liking_has_no_known_range():
    flat = printed_range(printed_world(), sure(0.0, -0.001))
    assert (flat.low, flat.high, flat.known) == (5.0, 20.0, False)
    assert fit_palate(plain_tastings(5), plain_world()).alcohol_range() is None


def test_straight_liking_is_highest_at_an_end():
    found = maximum(np.array([1.0, -1.0, 0.0]), np.zeros(3), (-2.0, 1.5))
    assert found.tolist() == [1.5, -2.0, -2.0]


@pytest.mark.parametrize(("line", "low"), [(1.0, 20.0 - 0.5 / 0.4), (0.5 / 5.976, 5.06)])
def test_range_of_straight_liking_ends_half_a_point_below(line, low):
    # Liking rises by 0.4 line per % vol, since one % vol is 0.8 / 2 in z.
    found = printed_range(printed_world(), sure(line, 0.0, sd=1e-6))
    assert found.low == pytest.approx(low, abs=0.1)
    assert (found.high, found.best, found.known) == (20.0, 20.0, True)
    assert found.low_between == pytest.approx((found.low, found.low))
    assert found.high_between == (20.0, 20.0)
