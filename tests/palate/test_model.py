import numpy as np
import pytest

from tests.palate.examples import plain_tastings, plain_world
from webapp.palate import AttributeSpace, fit_palate


def answers(palate, x, style):
    found = palate.predict(x, style)
    return np.array([found.mean, found.sd, found.p_like])


FRESH = np.array([[6.0, 5.0, 4.0], [1.0, 9.0, 5.0], [8.0, np.nan, 2.0]])
THEIR_STYLES = ["s0", "s3", None]
# The compact form rounds to 5 decimals, so equal palates may differ by that much.
ROUNDING = 3e-4


def test_attribute_order_does_not_matter():
    world, table, turn = plain_world(), plain_tastings(40), [2, 0, 1]
    turned_world = AttributeSpace(
        [world.attributes[i] for i in turn],
        np.array(world.mean)[turn],
        np.array(world.spread)[turn],
        world.styles,
        np.array(world.profile)[:, turn],
        np.array(world.profile_spread)[:, turn],
        world.group,
        low=0.0,
        high=10.0,
    )
    turned = {**table, "X": table["X"][:, turn], "just_right": table["just_right"][:, turn]}
    one = answers(fit_palate(table, world), FRESH, THEIR_STYLES)
    two = answers(fit_palate(turned, turned_world), FRESH[:, turn], THEIR_STYLES)
    assert one == pytest.approx(two, abs=ROUNDING)


def test_scale_units_do_not_matter():
    world, table = plain_world(), plain_tastings(40)
    factor, start = np.array([10.0, 0.1, -2.0 + 4.0]), np.array([3.0, -7.0, 0.0])
    scaled = AttributeSpace(
        world.attributes,
        np.array(world.mean) * factor + start,
        np.array(world.spread) * factor,
        world.styles,
        np.array(world.profile) * factor + start,
        np.array(world.profile_spread) * factor,
        world.group,
    )
    one = answers(fit_palate(table, world), FRESH, THEIR_STYLES)
    two = answers(
        fit_palate({**table, "X": table["X"] * factor + start}, scaled),
        FRESH * factor + start,
        THEIR_STYLES,
    )
    assert one == pytest.approx(two, abs=ROUNDING)


def test_tasting_order_does_not_matter_and_fit_is_exact():
    table, turn = plain_tastings(50), np.random.default_rng(1).permutation(50)
    turned = {name: [values[i] for i in turn] for name, values in table.items()}
    one = fit_palate(table, plain_world())
    assert answers(one, FRESH, THEIR_STYLES) == pytest.approx(
        answers(fit_palate(turned, plain_world()), FRESH, THEIR_STYLES), abs=ROUNDING
    )
    assert one.compact() == fit_palate(table, plain_world()).compact()


def test_more_tastings_reduce_the_uncertainty():
    few, many = (fit_palate(plain_tastings(n), plain_world()) for n in (10, 200))
    assert np.all(many.predict(FRESH).sd_of_mean < few.predict(FRESH).sd_of_mean)


def test_liked_attributes_are_learned():
    palate = fit_palate(plain_tastings(120), plain_world())
    mean = palate.predict([[6.0, 5, 5], [1.0, 5, 5], [10.0, 5, 5]]).mean
    assert mean[0] > mean[1] + 1
    assert mean[0] > mean[2] + 1


def test_unrated_tastings_inform_scale_use_only():
    table = plain_tastings(60, marks=False)
    unrated = {**table, "liking": np.full(60, np.nan)}
    palate, nobody = (
        fit_palate(unrated, plain_world()),
        fit_palate({"X": [], "liking": []}, plain_world()),
    )
    assert palate.posterior.beta.tolist() == nobody.posterior.beta.tolist()
    assert palate.scale_use.noise != nobody.scale_use.noise


def test_untasted_style_borrows_from_related_styles():
    n, world = 30, plain_world()
    table = {"X": np.full((n, 3), 5.0), "style": ["s0"] * n, "bottle": range(n)}
    loved = fit_palate({**table, "liking": [9] * n}, world).predict(style=["s1", "s2"]).mean
    hated = fit_palate({**table, "liking": [2] * n}, world).predict(style=["s1", "s2"]).mean
    assert loved[0] > hated[0]
    assert loved[0] - loved[1] > hated[0] - hated[1]


def test_label_informs_unjudged_attributes():
    palate = fit_palate(plain_tastings(120), plain_world())
    unknown, near, far = np.full((3, 3), np.nan)[:, None]
    near[0, 0], far[0, 0] = 6.0, 1.0
    spread = np.array([[0.2, np.nan, np.nan]])
    items = [palate.predict(x, ["s1"], spread).mean[0] for x in (near, far)]
    assert items[0] > items[1] + 1
    assert palate.predict(near, ["s1"], spread).sd[0] < palate.predict(unknown, ["s1"]).sd[0]


def test_like_threshold_is_adapted_to_the_answer_steps():
    table = plain_tastings(20)
    assert fit_palate(table, plain_world()).like_threshold == 6.5
    finer = {**table, "liking": table["liking"] * 0.9 + 0.55}
    assert fit_palate(finer, plain_world()).like_threshold == 7.0


def test_prediction_of_nothing_is_empty():
    palate = fit_palate(plain_tastings(5), plain_world())
    assert palate.predict().mean.shape == palate.predict(style=[]).sd.shape == (0,)
    assert palate.reasons() == []
