"""Invalid input gives a clear error or a finite result, and no warning (pyproject.toml)."""

from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from tests.examples import examples
from tests.palate.examples import plain_tastings, plain_world
from webapp.palate import PalateError, fit_palate
from webapp.palate.data.tastings import check_tastings


def changed(**change):
    table = plain_tastings(4)
    for name, value in change.items():
        table[name] = value
    return table


def one_x(value):
    x = plain_tastings(4)["X"]
    x[2, 1] = value
    return x


@pytest.mark.parametrize(
    ("table", "says"),
    [
        (changed(liking=[1, 9, 10, 5]), r"liking\[2\]: 10 must lie within 1..9"),
        (changed(liking=[0, 9, 3, 5]), r"liking\[0\]: 0 must"),
        (changed(liking=[1, np.inf, 3, 5]), "not finite"),
        (changed(liking=["good", 1, 2, 3]), "liking must be numbers"),
        (changed(liking=None), "tastings need 'liking'"),
        (changed(X=one_x(10.5)), r"^X\[2\], a1: 10.5 lies outside its scale 0..10"),
        (changed(X=one_x(-0.1)), "outside its scale"),
        (changed(X=np.ones((4, 2))), r"X has shape \(4, 2\), expected \(4, 3\)"),
        (changed(X=np.ones(4)), "dimension"),
        (changed(just_right=np.full((4, 3), 2)), r"just_right\[0, 0\]: 2 must be -1, 0 or 1"),
        (changed(style=["s0", "s1", "s9", None]), "unknown style 's9'"),
        (changed(style=["s0"]), "style has 1 entries for 4 rows"),
        (changed(bottle=["b"]), "bottle has 1 entries for 4 rows"),
        (changed(known=np.full((4, 3), 11.0)), "known.*outside its scale"),
        (changed(known=np.ones((4, 3)), known_spread=-np.ones((4, 3))), "known_spread"),
    ],
)
def test_invalid_value_is_named_with_its_bound(table, says):
    with pytest.raises(PalateError, match=says):
        fit_palate(table, plain_world())


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (([[1, 2, 30]],), r"^X\[0\], a2: 30 lies outside its scale"),
        (([[1, 2]],), r"^X has shape \(1, 2\), expected \(1, 3\)"),
        (([[1, 2, 3]], ["nowhere"]), "unknown style"),
        (([[1, 2, 3]], ["s0"], [[-1, 0, 0]]), "known_spread"),
        (([[1, 2, 3]], ["s0", "s1"]), "style has 2 entries for 1 rows"),
    ],
)
def test_invalid_bottle_is_rejected(arguments, says):
    with pytest.raises(PalateError, match=says):
        fit_palate(plain_tastings(5), plain_world()).predict(*arguments)


def assert_calm(palate):
    found = palate.predict([[np.nan] * 3, [0, 0, 0], [10, 10, 10]], ["s0", None, "s3"])
    for numbers in (found.mean, found.sd, found.p_like, found.sd_of_mean):
        assert np.isfinite(numbers).all()
    assert np.all((found.mean >= 1) & (found.mean <= 9))
    assert np.all(found.sd > 0)
    assert np.all((found.p_like >= 0) & (found.p_like <= 1))
    for target in palate.ideal_points():
        assert np.isfinite([target.low, target.high, target.weight]).all()
        assert 0 <= target.low <= target.high <= 10
    lists = palate.recommend()
    assert len({*lists.close, *lists.stretch, *lists.teaches}) == sum(
        map(len, (lists.close, lists.stretch, lists.teaches))
    )


@pytest.mark.parametrize(
    "table",
    [
        {"X": np.empty((0, 3)), "liking": []},
        {"X": [[5, 5, 5]], "liking": [9]},
        {"X": [[5, 5, 5], [6, 2, 9]], "liking": [9, 1], "style": ["s0", "s1"]},
        {"X": np.full((8, 3), np.nan), "liking": np.arange(1, 9)},
        {"X": np.full((8, 3), np.nan), "liking": np.full(8, np.nan)},
        {"X": np.full((8, 3), np.nan), "liking": np.arange(1, 9), "style": ["s1"] * 8},
        {"X": np.tile([[5.0, 1.0, 9.0]], (10_000, 1)), "liking": np.full(10_000, 8)},
        {**plain_tastings(30), "X": np.column_stack([np.full(30, 7.0), np.eye(30)[:, :2]])},
        {**plain_tastings(30), "liking": np.full(30, 1)},
        {**plain_tastings(30), "just_right": np.full((30, 3), -1)},
        {**plain_tastings(300), "just_right": np.tile([[1, -1, 0]], (300, 1))},
    ],
    ids=[
        "none",
        "one",
        "two",
        "nothing judged",
        "nothing said",
        "only the style",
        "ten thousand identical",
        "one attribute constant",
        "all disliked",
        "always too little",
        "always the same marks",
    ],
)
def test_unusual_records_give_a_finite_report(table):
    assert_calm(fit_palate(table, plain_world()))


def test_extreme_values_on_open_scales_are_harmless():
    world = plain_world()
    free = type(world)(world.attributes, world.mean, world.spread, world.styles)
    table = plain_tastings(10)
    table["X"][3] = [1e9, -1e9, 1e300]
    found = fit_palate(table, free).predict([[1e300, 0, 0]])
    assert np.isfinite([found.mean[0], found.sd[0]]).all()


def one_of(*values):
    return st.sampled_from(values)


@settings(max_examples=examples(60, wide=600))
@given(st.data(), st.integers(0, 14))
def test_valid_tables_never_give_non_finite_numbers(data, n):
    scale = st.one_of(st.just(np.nan), st.floats(0, 10))
    marks = one_of(-1.0, 0.0, 1.0, np.nan)
    table = {
        "X": data.draw(arrays(float, (n, 3), elements=scale)),
        "liking": data.draw(arrays(float, n, elements=one_of(*map(float, range(1, 10)), np.nan))),
        "just_right": data.draw(arrays(float, (n, 3), elements=marks)),
        "style": data.draw(st.lists(one_of("s0", "s1", "s2", "s3", None), min_size=n, max_size=n)),
        "bottle": data.draw(st.lists(one_of("a", "b", None), min_size=n, max_size=n)),
    }
    assert_calm(fit_palate(table, plain_world()))


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"would_buy": [0, 1, 2, 0]}, "would_buy[2]: 2 must be -1, 0 or 1"),
        ({"liking": [1, 9, 9.5, 5]}, "liking[2]: 9.5 must lie within 1..9"),
        ({"just_right": np.full((4, 3), 2)}, "just_right[0, 0]: 2 must be -1, 0 or 1"),
        (
            {"known": np.full((4, 3), 11.0)},
            "known[0], a0: 11 lies outside its scale 0..10; leave it empty (NaN) if unjudged",
        ),
        ({"X": np.ones((4, 2))}, "X has shape (4, 2), expected (4, 3)"),
        ({"X": one_x(np.inf)}, "X holds a number that is not finite"),
        ({"liking": None}, "tastings need 'liking'"),
        ({"would_buy": [1, 0]}, "would_buy has 2 entries for 4 rows"),
        ({"would_buy": [[1]]}, "would_buy must have 1 dimension(s), not 2"),
        (
            {"known": np.ones((4, 3)), "known_spread": -np.ones((4, 3))},
            "known_spread[0, 0]: -1 must not be below 0",
        ),
        ({"known": np.ones((4, 2))}, "known has shape (4, 2), expected (4, 3)"),
        ({"known_spread": np.ones((4, 2))}, "known_spread has shape (4, 2), expected (4, 3)"),
        ({"just_right": np.ones((4, 2))}, "just_right has shape (4, 2), expected (4, 3)"),
        ({"liking": [[1, 2]]}, "liking must have 1 dimension(s), not 2"),
        ({"X": "none"}, "X must be numbers (NaN where empty)"),
    ],
)
def test_message_names_field_value_and_bound(change, says):
    with pytest.raises(PalateError) as found:
        fit_palate(changed(**change), plain_world())
    assert str(found.value) == says


def test_tastings_may_be_an_object_with_the_same_names():
    table = plain_tastings(6)
    as_object = fit_palate(SimpleNamespace(**table), plain_world())
    assert as_object.compact() == fit_palate(table, plain_world()).compact()


def test_known_value_without_a_spread_is_exact():
    table = plain_tastings(2)
    known = np.array([[4.0, np.nan, 10.0], [0.0, 5.0, np.nan]])
    found = check_tastings({**table, "known": known}, plain_world())
    assert found.known_z[0, 0] == -0.5
    assert np.all(found.known_sd == 1e-6)
    spread = check_tastings(
        {**table, "known": known, "known_spread": known * 0 + 0.5}, plain_world()
    )
    assert spread.known_sd[0].tolist() == [0.25, 1e-6, 0.25]
