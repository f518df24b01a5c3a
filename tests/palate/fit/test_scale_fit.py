"""Candidates for how far bottles differ from their styles."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from tests.palate.examples import plain_tastings, plain_world
from webapp.palate.data.tastings import check_tastings
from webapp.palate.fit.scale_fit import ScaleFit, candidate_fits


def candidates(style: list[Any] | None) -> list[ScaleFit]:
    world = plain_world(3, families={"first": [0, 1]})
    return candidate_fits(check_tastings({**plain_tastings(6), "style": style}, world), world)


@pytest.mark.parametrize("style", [None, [None] * 6, ["first"] * 6])
def test_bottles_without_a_style_have_one_candidate(style: list[Any] | None) -> None:
    assert len(candidates(style)) == 1


def test_one_style_is_enough_for_three_candidates() -> None:
    found = candidates(["s0", *[None] * 5])
    assert [one.space.style_sd[0, 0] for one in found] == [0.5, 1.0, 1.0]
    assert found[1].log_weight - found[2].log_weight == pytest.approx(1.5)
    assert np.all(found[0].z_var > 0)
