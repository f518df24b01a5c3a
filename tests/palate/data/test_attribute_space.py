import numpy as np
import pytest

from tests.palate.examples import STYLES, plain_tastings, plain_world
from webapp.palate import AttributeSpace, PalateError, fit_palate
from webapp.palate.data.wine_styles import ATTRIBUTES, warmth_of, wine_space


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"attributes": ()}, "attributes"),
        ({"attributes": ("a", "a")}, "twice"),
        ({"spread": (1.0, 0.0)}, "spread"),
        ({"mean": (1.0, np.nan)}, "finite"),
        ({"mean": (1.0,)}, "shape"),
        ({"styles": ("x", "x")}, "twice"),
        ({"styles": ("x",), "profile": np.zeros((2, 2))}, "profile"),
        ({"styles": ("x",), "profile": np.zeros((1, 2)), "profile_spread": -np.ones((1, 2))}, "0"),
        ({"styles": ("x",), "group": ()}, "group"),
        ({"styles": ("x",), "families": {"x": [0]}}, "families"),
    ],
)
def test_attribute_space_errors_are_named(change, says):
    valid = {"attributes": ("a", "b"), "mean": (0.0, 0.0), "spread": (1.0, 1.0)}
    with pytest.raises(PalateError, match=says):
        AttributeSpace(**{**valid, **change})


def test_style_without_a_profile_uses_the_overall_spread():
    world = AttributeSpace(("a",), [3.0], [2.0], ("x", "y"), [[np.nan], [5.0]], [[np.nan], [1.0]])
    mean, sd = world.usual(world.style_index(["x", "y", None], 3))
    assert mean[:, 0].tolist() == [0.0, 1.0, 0.0]
    assert sd[:, 0].tolist() == [1.0, 0.5, 1.0]


def families_world():
    families = {"first": [0, 1], "all": [0, 1, 2, 3]}
    return plain_world(1, families=families)


def test_family_has_the_mean_and_spread_of_its_bottles():
    world = families_world()
    mean, sd = world.usual(world.style_index(["first", "all", None], 3))
    z = world.style_z[:, 0]
    assert mean[:, 0].tolist() == pytest.approx([z[:2].mean(), z.mean(), 0], abs=0.006)
    within = np.mean(world.style_sd**2)
    assert sd[:, 0] == pytest.approx(
        [np.sqrt(within + z[:2].var()), np.sqrt(within + z.var()), 1], abs=0.006
    )


def test_family_within_one_group_has_that_group():
    world = families_world()
    style = world.style_index(["first", "all", None, "s3"], 4)
    assert world.group_at(style).tolist() == [0, -1, -1, 1]


def test_liking_of_a_family_carries_over_to_its_group():
    world = plain_world(3, families={"first": [0, 1]})
    table = plain_tastings(20, marks=False)
    table = {**table, "style": ["first"] * 20, "liking": np.full(20, 9.0)}
    found = fit_palate(table, world)
    assert set(found.posterior.groups) == {0}
    mean = found.predict(style=["s0", "first", "s2"]).mean
    assert mean[0] > mean[2]
    assert mean[1] > mean[2]


def test_unknown_style_is_named():
    with pytest.raises(PalateError, match="'nowhere'"):
        plain_world().style_index(["nowhere"], 1)


def test_wine_attribute_space_has_every_style_and_scale():
    world = wine_space(STYLES)
    assert tuple(world.attributes) == ATTRIBUTES
    assert len(world.styles) == len(STYLES)
    assert {STYLES[0]["group"], STYLES[-1]["group"]} <= set(world.groups)
    profile = np.array(world.profile)
    assert np.all((profile >= 0) & (profile <= 10))


def test_warmth_increases_with_strength_within_its_scale():
    warmth = warmth_of([0.0, 5.0, 12.5, 20.0, 25.0])
    assert warmth.tolist() == pytest.approx([0.0, 0.0, 4.875, 9.75, 10.0])
