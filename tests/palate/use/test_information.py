"""Expected information gain of a tasting, computed from the compact palate."""

import json

import numpy as np
import pytest
from scipy.stats import spearmanr

from tests.bench.palate.simulated_tasters import Taster
from tests.palate.examples import STYLES, taster_table
from tests.palate.make_teaching_vectors import FILE
from tests.reference.palate_scoring import information_gain, score_bottle
from webapp.palate import fit_palate
from webapp.palate.use.suggestions import information

KILOBYTE = 1024


@pytest.fixture(scope="module")
def palate():
    taster = Taster(STYLES, 21)
    return fit_palate(taster_table(taster, taster.taste(60), marks=True), taster.space)


@pytest.fixture(scope="module")
def compact(palate):
    return json.loads(json.dumps(palate.compact()))


def test_compact_information_gain_matches_the_full_one(palate, compact):
    """`information` itself is checked against brute force in test_suggestions.py."""
    style = np.arange(len(palate.space.styles))
    z_mean, z_sd = palate.space.usual(style)
    sd = palate.predict(style=palate.space.styles).sd
    result = information(palate.posterior, z_mean, z_sd**2, style, palate.space.group_of, sd)
    found = [information_gain(compact, {"style": name}) for name in palate.space.styles]
    assert found == pytest.approx(list(result), rel=1e-9)


def test_most_uncertain_is_not_most_informative(compact):
    """Predictions can be uncertain for reasons that teach nothing about other bottles.

    Examples are a variable style and an unknown bottle, so picks are ordered by information gain.
    """
    bottles = [{}, *({"style": name} for name in compact["profiles"])]
    spread = np.array([score_bottle(compact, bottle)["sd"] for bottle in bottles])
    taught = np.array([information_gain(compact, bottle) for bottle in bottles])
    assert np.mean(spread > spread[0]) < 0.5
    assert np.mean(taught > taught[0]) > 0.9
    assert np.mean(taught > taught[np.argmax(spread)]) > 0.5
    assert spearmanr(spread, taught).statistic < 0.5


def test_the_vectors_are_small():
    assert FILE.stat().st_size < 150 * KILOBYTE
