"""Styles that are not ids: a clear error from the arrays, not entered from the records."""

from __future__ import annotations

from datetime import date
from typing import Any

import numpy as np
import pytest

from tests.palate.examples import STYLES, plain_world
from webapp.palate import AttributeSpace, PalateError, fit_palate
from webapp.palate.use.report import palate_report


@pytest.mark.parametrize("style", ["s0", 5, {"s0": 1}, [["s0"]], [{}], ["unknown"]])
def test_style_that_is_no_id_is_refused(style: Any) -> None:
    world = plain_world()
    with pytest.raises(PalateError, match="style"):
        fit_palate({"X": np.full((1, 3), 5.0), "liking": [6], "style": style}, world)
    learned = fit_palate({"X": np.empty((0, 3)), "liking": []}, world)
    with pytest.raises(PalateError, match="style"):
        learned.predict(style=style)


def test_record_with_a_list_as_style_has_no_style() -> None:
    tasting = {"id": "t", "bottle": "b", "liking": 7}
    bottle = {"id": "b", "style": ["red_barolo"]}
    found = palate_report([tasting], [bottle], STYLES, date(2026, 1, 1))
    assert (found["n_rated"], found["styles"]) == (1, [])


@pytest.mark.parametrize("k", [1, 60])
@pytest.mark.parametrize("n", [0, 1, 40])
def test_world_without_styles_gives_calm_answers(k: int, n: int) -> None:
    rng = np.random.default_rng(k)
    world = AttributeSpace([f"a{i}" for i in range(k)], np.zeros(k), np.ones(k))
    x = rng.normal(size=(n, k))
    learned = fit_palate({"X": x, "liking": np.round(rng.uniform(1, 9, n))}, world)
    found = learned.predict(rng.normal(size=(50, k)))
    assert np.all((found.mean >= 1) & (found.mean <= 9))
    assert np.all(found.sd < 6)
    following = learned.recommend()
    assert following.close == following.stretch == following.teaches == []
    assert len(learned.ideal_points()) == k
    assert learned.alcohol_range() is None


def test_new_taster_is_expected_to_like_all_styles_alike() -> None:
    found = palate_report([], [], STYLES, date(2026, 1, 1))
    liking = [entry["mean"] for entries in found["next"].values() for entry in entries]
    assert liking == pytest.approx([5.6] * len(liking))
