"""Reasons of a prediction, worked out by hand for an invented posterior."""

from __future__ import annotations

import numpy as np
import pytest

from tests.palate.examples import plain_tastings, plain_world
from webapp.palate import Printed, fit_palate
from webapp.palate.fit.posterior import Posterior
from webapp.palate.use.reasons import Reason, explain_parts

# Effects of z = 1 by line: 0.1, 0.05, -0.04 and 0.2 points, since K = 4 halves them.
BETA = np.array([6.0, 0.2, 0.1, -0.08, 0.4, 0, 0, 0, 0])
POSTERIOR = Posterior(BETA, np.zeros((9, 9)), {}, {}, 0.2, 1.0)
NAMES = ("a", "b", "c", "d")


def reasons(
    z: list[float], style: tuple[str, float] | None = None, label: int = -1
) -> list[Reason]:
    none = np.zeros(4)
    at, values = np.array(z), 5 + np.array(z)
    return explain_parts(NAMES, POSTERIOR, at, none, values, np.arange(4) == label, style)


def test_three_largest_parts_are_listed_first() -> None:
    found = reasons([1.0, 1.0, 1.0, -1.0], ("malbec", -0.3))
    assert [(one.name, one.what) for one in found] == [
        ("malbec", "style"),
        ("d", "attribute"),
        ("a", "attribute"),
    ]
    assert [one.effect for one in found] == pytest.approx([-0.3, -0.2, 0.1])
    assert [one.direction for one in found] == ["lowers", "lowers", "raises"]
    assert [one.level for one in found] == ["usual", "low", "high"]


def test_reason_tells_the_value_on_the_own_scale() -> None:
    found = reasons([1.0, 0.0, 0.0, -1.0], ("malbec", -0.3))
    assert [one.value for one in found] == [None, 4.0, 6.0]


def test_value_is_what_the_person_would_enter() -> None:
    palate = fit_palate(plain_tastings(60), plain_world(3))
    (found,) = palate.reasons(np.array([[4.0, 9.0, 0.5]]), ["s0"])
    z, _, _ = palate.read(np.array([[4.0, 9.0, 0.5]]), ["s0"])
    use, space = palate.scale_use, palate.space
    wanted = np.clip(space.centre + space.scale * (use.bias + use.gain * z[0]), 0, 10)
    values = dict(zip(space.attributes, wanted, strict=True))
    told = [one for one in found if one.what != "style"]
    assert told
    assert [one.value for one in told] == pytest.approx([values[one.name] for one in told])


def test_small_parts_are_left_out() -> None:
    found = reasons([0.4, 1.0, 1.0, 0.0], ("malbec", 0.01))
    assert [one.name for one in found] == ["b"]
    assert reasons([0.0, 0.9, 1.0, 0.0]) == []


@pytest.mark.parametrize(
    ("z", "level"), [(0.49, "usual"), (0.5, "high"), (-0.49, "usual"), (-0.5, "low")]
)
def test_level_is_usual_within_half_a_spread(z: float, level: str) -> None:
    assert reasons([0.0, 0.0, 0.0, z])[0].level == level


def test_part_known_from_the_label_is_alcohol() -> None:
    found = reasons([1.0, 0.0, 0.0, 1.0], label=3)
    assert [(one.name, one.what) for one in found] == [("d", "alcohol"), ("a", "attribute")]


def test_only_the_printed_attribute_is_alcohol() -> None:
    world = plain_world(3, printed=Printed("a0", 0.0, 1.0, 0.3, 0.0, 10.0))
    palate = fit_palate(plain_tastings(60), world)
    x, spread = np.array([[0.5, 9.0, 9.0]]), np.array([[0.3, 0.3, np.nan]])
    whats = {one.name: one.what for one in palate.reasons(x, ["s0"], spread)[0]}
    judged = {one.what for one in palate.reasons(x, ["s0"])[0]}
    assert whats["a0"] == "alcohol"
    assert judged | ({*whats.values()} - {"alcohol"}) <= {"attribute", "style"}
    assert {one.what for one in palate.reasons(style=["s0"], spread=spread)[0]} <= judged
    plain = fit_palate(plain_tastings(60), plain_world(3)).reasons(x, ["s0"], spread)[0]
    assert "alcohol" not in {one.what for one in plain}


def test_style_is_a_reason_where_it_is_known() -> None:
    world = plain_world(3, families={"first": [0, 1]})
    table = {"X": np.full((30, 3), 5.0), "style": ["s0"] * 30, "bottle": range(30)}
    palate = fit_palate({**table, "liking": [9] * 30}, world)
    known, family, nothing = palate.reasons(style=["s0", "first", None])
    assert [one.name for one in known if one.what == "style"] == ["s0"]
    assert "style" not in {one.what for one in (*family, *nothing)}
