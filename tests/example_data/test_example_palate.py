"""The palate learned from the example notebook matches the invented taster."""

from datetime import date

import numpy as np
import pytest

from tests.example_data import persona, source_tables
from tests.example_data.make_example import build_book
from webapp.palate.use.report import palate_report

TODAY = date(2026, 11, 20)
NEARLY_BEST = 0.1
"""Points of liking: a target this close to the best is as good as the best."""


@pytest.fixture(scope="module")
def book():
    return build_book()


@pytest.fixture(scope="module")
def document(book):
    tastings, bottles = (
        [{"id": one["id"], **one["fields"]} for one in book[kind]] for kind in ("tasting", "bottle")
    )
    return palate_report(tastings, bottles, list(source_tables.styles().values()), TODAY)


@pytest.fixture(scope="module")
def targets(document):
    return {target["attribute"]: target for target in document["targets"]}


def tasted_mouths():
    """Yield (attributes on the taster's scales, style) of every bottle tasted."""
    plan = source_tables.bottle_plan()
    keys = dict.fromkeys(row["bottle"] for row in source_tables.tasting_plan())
    for bottle in map(plan.__getitem__, keys):
        inside = persona.in_bottle(bottle["key"], bottle["style"], float(bottle["abv"]))
        yield persona.in_the_mouth(inside), bottle["style"]


def nearly_best(scale):
    """Return the interval of a scale whose mean true liking is within NEARLY_BEST of the maximum.

    The mean is over the tasted bottles, with only this scale changed.
    """
    points = np.linspace(0, 10, 201)
    curve = np.array(
        [
            np.mean([persona.true_liking(m | {scale: x}, style) for m, style in tasted_mouths()])
            for x in points
        ]
    )
    good = points[curve >= curve.max() - NEARLY_BEST]
    return float(good[0]), float(good[-1])


def true_style_liking(style):
    usual = {scale: style[scale] for scale in persona.SCALES if scale != "warmth"}
    usual["warmth"] = persona.warmth_of(style["abv_typ"])
    return persona.true_liking(persona.in_the_mouth(usual), style["style_id"])


@pytest.mark.parametrize("scale", ["acidity", "body", "warmth"])
def test_ideal_points_match_the_preferred_range(targets, scale):
    low, high = nearly_best(scale)
    found = targets[scale]
    assert found["shape"] == "peak"
    assert found["low"] <= high
    assert found["high"] >= low


def test_acidity_is_preferred_high_and_most_important(targets):
    low, high = nearly_best("acidity")
    assert low < targets["acidity"]["target"] < high
    weights = {scale: target["weight"] for scale, target in targets.items()}
    assert {"acidity", "warmth"} == set(sorted(weights, key=weights.get)[-2:])


def test_low_oak_tannin_and_sweetness_are_preferred(targets):
    assert targets["oak"]["low"] < 2
    assert targets["oak"]["high"] < 4
    assert targets["tannin"]["high"] < 6
    assert targets["sweetness"]["low"] < 2


def test_warm_bottles_are_disliked(targets):
    assert targets["warmth"]["high"] < 5.5


def test_style_effects_of_nebbiolo_and_riesling_are_positive(document):
    effects = {
        entry["style"]: entry["mean"] - persona.true_liking(mouth_of(entry["style"]), "")
        for entry in document["styles"]
    }
    assert effects["red_barbaresco"] > 0.8
    assert effects["red_barolo"] > 0.8


def mouth_of(style_id):
    style = source_tables.styles()[style_id]
    usual = {scale: style[scale] for scale in persona.SCALES if scale != "warmth"}
    return persona.in_the_mouth(usual | {"warmth": persona.warmth_of(style["abv_typ"])})


def test_expected_liking_correlates_with_the_true_one(document):
    expected = {entry["style"]: entry["mean"] for entry in document["styles"]}
    true = [true_style_liking(source_tables.styles()[style]) for style in expected]
    assert len(expected) >= 28
    assert np.corrcoef(list(expected.values()), np.clip(true, 1, 9))[0, 1] > 0.8


def test_suggested_styles_are_truly_liked_above_average(document):
    likings = {key: true_style_liking(style) for key, style in source_tables.styles().items()}
    close = [likings[entry["style"]] for entry in document["next"]["close"]]
    assert close
    assert min(close) > np.median(list(likings.values()))


def test_stretch_of_the_example_is_less_sure(document):
    close, stretch = document["next"]["close"], document["next"]["stretch"]
    assert len(stretch) == 5
    assert min(one["sd_of_mean"] for one in stretch) > max(one["sd_of_mean"] for one in close)
    assert max(one["p_like"] for one in stretch) < min(one["p_like"] for one in close)
