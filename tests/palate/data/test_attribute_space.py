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
        ({"spread": (1.0, 0.0)}, "spread must be above 0 for every attribute"),
        ({"mean": (1.0, np.nan)}, r"^world\.mean holds a number that is not finite"),
        ({"mean": (1.0,)}, r"^world\.mean has shape \(1,\), expected \(2,\)"),
        ({"spread": (1.0,)}, r"^world\.spread has shape \(1,\), expected \(2,\)"),
        ({"styles": ("x", "x")}, "twice"),
        ({"styles": ("x",), "profile": np.zeros((2, 2))}, r"^world\.profile has shape"),
        ({"styles": ("x",), "profile": np.zeros((1, 2)), "profile_spread": -np.ones((1, 2))}, "0"),
        ({"styles": ("x", "y"), "profile": np.zeros((1, 4))}, r"shape \(1, 4\), expected \(2, 2\)"),
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


def test_attribute_space_may_have_no_styles():
    for profile in (None, []):
        world = AttributeSpace(("a", "b"), [0.0, 0.0], [1.0, 1.0], (), profile, profile)
        assert world.style_z.shape == world.style_sd.shape == (0, 2)
        assert world.usual(world.style_index(None, 1))[1].tolist() == [[1.0, 1.0]]


def test_distances_are_limited_to_ten_spreads():
    world = AttributeSpace(("a",), [3.0], [2.0])
    assert world.to_z(np.array([[3.0], [7.0], [23.1], [-99.0]])).tolist() == [[0], [2], [10], [-10]]


def test_style_without_a_spread_has_half_the_usual_one():
    world = AttributeSpace(("a",), [3.0], [2.0], ("x", "y"), [[5.0], [5.0]], [[np.nan], [0.1]])
    assert world.style_sd.tolist() == [[0.5], [0.15]]


def test_widened_style_sd_does_not_exceed_one():
    profile = np.zeros((3, 1))
    world = AttributeSpace(("a",), [0.0], [1.0], "xyz", profile, [[0.3], [0.7], [1.6]])
    assert world.widened(2.0).style_sd.tolist() == [[0.6], [1.0], [1.6]]
    assert world.style_sd.tolist() == [[0.3], [0.7], [1.6]]


def test_text_of_an_attribute_space_has_what_was_given_only():
    text = repr(AttributeSpace(("a",), [3.0], [2.0]))
    assert "mean=" in text
    for derived in ("centre=", "scale=", "style_z=", "style_sd=", "groups=", "group_of="):
        assert derived not in text
    for derived in ("family_group=", "family_share=", "lowest=", "highest="):
        assert derived not in text


def test_styles_without_labels_form_one_group():
    world = AttributeSpace(("a",), [3.0], [2.0], ("x", "y"))
    assert world.groups == (None,)
    assert world.group_of.tolist() == [0, 0]


def test_missing_style_is_none_or_not_a_number():
    world = families_world()
    assert world.style_index([np.nan, None, "s1", "first", "all"], 5).tolist() == [
        -1,
        -1,
        1,
        -2,
        -3,
    ]
    assert world.style_index(None, 2).tolist() == [-1, -1]
    for name in (["s1"], 1.5):
        with pytest.raises(PalateError, match="unknown style"):
            world.style_index([name], 1)


@pytest.mark.parametrize("style", ["s1", b"s1", {"s1": 1}, 5])
def test_styles_must_be_a_list(style):
    with pytest.raises(PalateError, match="style must be a list"):
        families_world().style_index(style, 2)


@pytest.mark.parametrize("name", ["profile", "profile_spread"])
def test_infinite_profile_is_refused(name):
    with pytest.raises(PalateError, match=rf"world\.{name} holds a number that is not finite"):
        AttributeSpace(("a",), [3.0], [2.0], ("x",), **{name: [[np.inf]]})
