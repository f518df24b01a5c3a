import numpy as np
import pytest

from tests.palate.examples import STYLES, plain_world
from webapp.palate import AttributeSpace, PalateError
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
