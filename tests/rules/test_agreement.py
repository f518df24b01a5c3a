"""Kappa and intraclass correlations against scikit-learn and published examples."""

import pytest
from sklearn.metrics import cohen_kappa_score

from tests.reference.rules.agreement import cohen_kappa, intraclass
from webapp.rules.errors import RuleError

FIRST = [1, 2, 2, 3, 3, 3, 4, 4, 5, 5, 2, 4]
SECOND = [1, 2, 3, 3, 3, 4, 4, 5, 5, 4, 1, 4]


def test_kappa_matches_the_textbook_example():
    # Textbook example, from memory, recomputed: kappa 0.4 from 0.7 observed and 0.5 expected.
    first = [0] * 25 + [1] * 25
    second = [0] * 20 + [1] * 5 + [0] * 10 + [1] * 15
    found = cohen_kappa(first, second)
    assert found["observed"] == pytest.approx(0.7)
    assert found["expected"] == pytest.approx(0.5)
    assert found["kappa"] == pytest.approx(0.4)


@pytest.mark.parametrize(
    ("weights", "expected"), [("none", 0.4736842), ("linear", 0.7058824), ("quadratic", 0.8684211)]
)
def test_kappa_matches_scikit_learn(weights, expected):
    # Expected values are computed by scikit-learn's cohen_kappa_score.
    reference = cohen_kappa_score(FIRST, SECOND, weights=None if weights == "none" else weights)
    found = cohen_kappa(FIRST, SECOND, weights)
    assert found["kappa"] == pytest.approx(expected, abs=1e-6)
    assert found["kappa"] == pytest.approx(reference, abs=1e-12)
    assert found["weights"] == weights


def test_kappa_is_unknown_when_chance_agreement_is_one():
    assert cohen_kappa([3, 3], [3, 3])["kappa"] is None


@pytest.mark.parametrize(
    ("args", "code"),
    [
        (([1], [1, 2]), "unequal_lengths"),
        (([], []), "nothing_to_compare"),
        (([1], [1], "cubic"), "unknown_weights"),
        (([True], [1]), "not_number"),
        (([None], [1]), "missing"),
    ],
)
def test_kappa_rejects_invalid_ratings(args, code):
    with pytest.raises(RuleError) as refusal:
        cohen_kappa(*args)
    assert refusal.value.code == code


def test_intraclass_matches_the_published_example():
    # Shrout and Fleiss 1979, table 2 (data seen on a teaching page): .17 .29 .71 .44 .62 .91.
    scores = [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]]
    expected = {
        "bms": 11.241667,
        "wms": 6.263889,
        "jms": 32.486111,
        "ems": 1.019444,
        "icc11": 0.1657,
        "icc21": 0.2898,
        "icc31": 0.7148,
        "icc1k": 0.4428,
        "icc2k": 0.6201,
        "icc3k": 0.9093,
    }
    assert intraclass(scores) == pytest.approx(expected, abs=1e-4)


def test_intraclass_of_repeats_matches_a_reference():
    # Expected values are computed by pingouin: 0.9398, 0.9397, 0.9348.
    first = [6, 7.5, 4, 8, 5.5, 3, 7, 6.5]
    second = [6.5, 7, 4.5, 8.5, 5, 4, 7, 6]
    found = intraclass(list(zip(first, second, strict=True)))
    assert [found["icc11"], found["icc21"], found["icc31"]] == pytest.approx(
        [0.9398, 0.9397, 0.9348], abs=1e-4
    )


def test_intraclass_of_constant_scores_is_unknown():
    assert intraclass([[5, 5], [5, 5]])["icc11"] is None
    # 0.1 has no exact double, so the scores vary by rounding errors only.
    assert intraclass([[0.1] * 3] * 3)["icc21"] is None


def test_intraclass_of_a_mean_is_unknown_below_chance():
    # The denominator of ICC(2,k) is -ems / n here; the ratio would be 2.
    found = intraclass([[1, 3], [3, 1]])
    assert (found["bms"], found["jms"], found["ems"]) == (0, 0, 4)
    assert found["icc2k"] is None
    assert found["icc11"] == -1


@pytest.mark.parametrize(
    ("scores", "code"), [([[1, 2], [1]], "unequal_lengths"), ([[1, 2]], "too_few")]
)
def test_intraclass_rejects_an_invalid_table(scores, code):
    with pytest.raises(RuleError) as refusal:
        intraclass(scores)
    assert refusal.value.code == code
