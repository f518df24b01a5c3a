import gzip
import json

import numpy as np
import pytest

from tests.bench.palate.simulated_tasters import Taster
from tests.palate.examples import STYLES, style_names, taster_table
from tests.palate.make_score_vectors import FILE, invented_styles, invented_tastings
from tests.reference.palate_scoring import score_bottle
from webapp.palate import fit_palate
from webapp.palate.data.wine_styles import ATTRIBUTES, WARMTH_SPREAD, warmth_of, wine_space

KILOBYTE = 1024


@pytest.fixture(scope="module")
def known():
    taster = Taster(STYLES, 77)
    bottles = taster.taste(60)
    palate = fit_palate(taster_table(taster, bottles, marks=True), taster.space)
    return taster, palate, json.loads(json.dumps(palate.compact()))


def test_compact_palate_scores_like_the_full_one(known):
    taster, palate, compact = known
    fresh = taster.taste(40)
    names = style_names(taster, fresh)
    found, why = palate.predict(fresh.X, names), palate.reasons(fresh.X, names)
    for i, x in enumerate(fresh.X):
        bottle = {"style": names[i], **dict(zip(ATTRIBUTES, map(float, x), strict=True))}
        scored = score_bottle(compact, bottle)
        assert scored["mean"] == pytest.approx(found.mean[i], abs=1e-9)
        assert scored["sd"] == pytest.approx(found.sd[i], abs=1e-9)
        assert scored["p_like"] == pytest.approx(found.p_like[i], abs=1e-9)
        assert [r["name"] for r in scored["reasons"]] == [r.name for r in why[i]]


def test_compact_scores_from_style_and_label_are_equal(known):
    _, palate, compact = known
    column = ATTRIBUTES.index("warmth")
    for style, abv in (("red_malbec_mendoza", 14.9), ("wht_chablis", 11.0), ("no such style", 9.0)):
        x, spread = np.full((2, 1, len(ATTRIBUTES)), np.nan)
        x[0, column], spread[0, column] = warmth_of(abv), WARMTH_SPREAD
        name = style if style in palate.space.styles else None
        found = palate.predict(x, [name], spread)
        scored = score_bottle(compact, {"style": style, "label_abv": abv})
        assert scored["mean"] == pytest.approx(found.mean[0], abs=1e-9)
        assert scored["sd"] == pytest.approx(found.sd[0], abs=1e-9)
        whats = {reason["what"] for reason in scored["reasons"] if reason["name"] == "warmth"}
        assert whats <= {"alcohol"}


def test_compact_palate_is_small(known):
    _, _, compact = known
    text = json.dumps(compact, separators=(",", ":")).encode()
    assert len(text) < 20 * KILOBYTE
    assert len(gzip.compress(text)) < 9 * KILOBYTE


def test_score_vectors_match_the_current_model():
    """Both ports are checked against these vectors by test_vectors.py and run.mjs."""
    vectors = json.loads(FILE.read_text(encoding="utf-8"))
    fresh = fit_palate(invented_tastings(40, 40), wine_space(invented_styles())).compact()
    kept = vectors["groups"][-1]["tests"][0]["args"][0]
    assert kept.keys() == json.loads(json.dumps(fresh)).keys()
    assert np.array(kept["beta"]) == pytest.approx(np.array(fresh["beta"]), abs=50)
    assert FILE.stat().st_size < 150 * KILOBYTE
    described = [test["description"] for test in vectors["groups"][0]["tests"]]
    assert len(set(described)) == len(described) >= 10


def test_compact_palate_shares_nothing_with_its_space(known):
    _, palate, compact = known
    palate.compact()["analysis"]["high"] = 0.0
    assert palate.compact()["analysis"] == compact["analysis"]
