"""Reasons of a score, and suggestions of what to taste next."""

import numpy as np
import pytest

from tests.bench.palate.simulated_tasters import Taster
from tests.palate.examples import STYLES, plain_tastings, plain_world, taster_table
from webapp.palate import fit_palate
from webapp.palate.data.features import expected
from webapp.palate.use.prediction import Prediction, score
from webapp.palate.use.reasons import LEAST_EFFECT
from webapp.palate.use.suggestions import _less_sure, information


@pytest.fixture(scope="module")
def palate():
    taster = Taster(STYLES, 5)
    return fit_palate(taster_table(taster, taster.taste(50), marks=True), taster.space)


def test_reasons_and_level_sum_to_the_expected_liking():
    palate = fit_palate(plain_tastings(80, k=2), plain_world(2))
    x = [[6.0, 4.0]]
    (reasons,) = palate.reasons(x, ["s2"])
    assert 2 <= len(reasons) <= 3
    total = palate.posterior.beta[0] + sum(reason.effect for reason in reasons)
    left_out = LEAST_EFFECT * (3 - len(reasons))
    assert total == pytest.approx(palate.predict(x, ["s2"]).mean[0], abs=left_out + 1e-9)


def test_reasons_have_the_sign_of_their_effect(palate):
    for reasons in palate.reasons(style=palate.space.styles):
        sizes = [abs(reason.effect) for reason in reasons]
        assert sizes == sorted(sizes, reverse=True)
        assert len(reasons) <= 3
        for reason in reasons:
            assert reason.direction == ("raises" if reason.effect > 0 else "lowers")


def test_reason_from_a_label_is_named_alcohol():
    taster = Taster(STYLES, 9)
    palate = fit_palate(taster_table(taster, taster.taste(80)), taster.space)
    strong = np.full((1, 7), np.nan)
    strong[0, 4] = 10.0
    by_label = palate.reasons(strong, [None], np.where(np.isnan(strong), np.nan, 0.4))[0]
    judged = palate.reasons(strong, [None])[0]
    assert {r.what for r in by_label if r.name == "warmth"} == {"alcohol"}
    assert {r.what for r in judged if r.name == "warmth"} == {"attribute"}


def test_suggestion_lists_share_no_style_and_are_diverse(palate):
    found = palate.recommend()
    lists = (found.close, found.stretch, found.teaches)
    everything = [i for one in lists for i in one]
    assert len(everything) == len(set(everything))
    assert len(found.close) == len(found.teaches) == 5
    for one in lists:
        groups = [palate.space.groups[palate.space.group_of[i]] for i in one]
        assert max(groups.count(group) for group in groups) <= 2


def test_suggestion_lists_meet_their_criteria(palate):
    found = palate.recommend()
    scores = palate.predict(style=palate.space.styles)
    safe = scores.sd_of_mean <= scores.sd_of_mean[found.close].max()
    assert found.close[0] == int(np.argmax(np.where(safe, scores.mean, 0)))
    assert np.all(scores.mean[found.teaches] >= 5)
    assert np.all(scores.mean[found.stretch] >= 5)


@pytest.mark.parametrize("tastings", [1, 3, 10, 40])
def test_stretch_is_less_sure_than_close_for_any_taster(tastings):
    filled = 0
    for seed in range(8):
        taster = Taster(STYLES, 200 + seed)
        table = taster_table(taster, taster.taste(tastings), marks=seed % 2 == 0)
        palate = fit_palate(table, taster.space)
        found, scores = palate.recommend(), palate.predict(style=palate.space.styles)
        for i in found.stretch:
            assert scores.sd_of_mean[i] > scores.sd_of_mean[found.close].max()
            assert scores.p_like[i] < scores.p_like[found.close].min()
        filled += bool(found.stretch)
    assert filled >= (6 if tastings == 1 else 8)


def test_before_any_answer_only_revealing_styles_are_suggested():
    taster = Taster(STYLES, 5)
    empty = {"X": np.full((3, 7), 5.0), "liking": np.full(3, np.nan)}
    found = fit_palate(empty, taster.space).recommend()
    assert (found.close, found.stretch, len(found.teaches)) == ([], [], 5)
    bought = fit_palate({**empty, "would_buy": [1.0, np.nan, -1.0]}, taster.space).recommend()
    assert len(bought.close) == 5


@pytest.mark.parametrize("answers", [1, 10])
def test_disliking_all_leaves_revealing_styles(answers):
    styles = ["red_malbec_mendoza"] * answers
    disliked = {"X": np.full((answers, 7), np.nan), "liking": np.ones(answers), "style": styles}
    found = fit_palate(disliked, Taster(STYLES, 5).space).recommend()
    assert (found.close, found.stretch, len(found.teaches)) == ([], [], 5)


def test_most_informative_reduces_the_uncertainty_most():
    """Compare with conditioning the joint normal of all expected likings on one answer."""
    palate = fit_palate({"X": np.empty((0, 3)), "liking": []}, plain_world())
    world, posterior = palate.space, palate.posterior
    style = np.arange(4)
    z_mean, z_sd = world.usual(style)
    found = score(posterior, z_mean, z_sd**2, style, world.group_of, 6.5)
    result = information(posterior, z_mean, z_sd**2, style, world.group_of, found.sd)
    phi = expected(z_mean, z_sd**2)
    group_var = posterior.unknown_style_var * 0.64 / 1.64
    joint = phi @ posterior.cov @ phi.T + (posterior.unknown_style_var - group_var) * np.eye(4)
    joint += group_var * (world.group_of[:, None] == world.group_of)
    for i in range(4):
        after = joint - np.outer(joint[:, i], joint[i]) / found.sd[i] ** 2
        fall = np.mean(np.diag(joint) - np.diag(after))
        assert result[i] == pytest.approx(fall, rel=0.05)


def test_stretch_reaches_down_to_the_median_chance():
    chance, doubt = np.array([0.3, 0.2, 0.1]), np.array([0.4, 0.6, 0.8])
    found = Prediction(chance, chance, chance, doubt)
    assert _less_sure(found, [0]).tolist() == [False, True, False]
    likely = Prediction(chance, chance, chance + 0.3, doubt)
    assert _less_sure(likely, [0]).tolist() == [False, True, True]
    surer = Prediction(chance, chance, chance + 0.3, doubt[::-1])
    assert _less_sure(surer, [0]).tolist() == [False, False, False]
    alike = Prediction(chance, chance, chance + 0.3, np.array([0.4, 0.4, 0.5]))
    assert _less_sure(alike, [0]).tolist() == [False, False, True]
