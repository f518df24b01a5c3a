import pytest

from webapp.palate.data.from_records import read_tastings
from webapp.palate.use.calibration import label_calibration

BOTTLES = [
    {"id": "b", "fields": {"label_abv": 13.0, "vintage": 2015}},
    {"id": "plain", "fields": {}},
]
AT = "2025-10-01T18:00:00+02:00"
WARMTH_AT_13 = -3.25 + 0.65 * 13


def checked(*fields):
    tastings = [{"id": f"t{i}", "fields": one} for i, one in enumerate(fields)]
    return label_calibration(read_tastings(tastings, BOTTLES))


def test_calibration_without_labels_is_empty():
    found = checked({"warmth": 5.0, "guess_abv": 13}, {"bottle": "plain", "warmth": 5.0})
    for entry in found.values():
        assert (entry["n"], entry["mean"], entry["level"]) == (0, None, "none")
    assert found["warmth"]["mean_abv"] is None


def test_warmth_bias_is_given_in_scale_and_alcohol_units():
    found = checked(*[{"bottle": "b", "warmth": WARMTH_AT_13 + 0.39}] * 6)["warmth"]
    assert found["mean"] == pytest.approx(0.39)
    assert found["mean_abv"] == pytest.approx(0.6)
    assert (found["n"], found["level"]) == (6, "known")


def test_guess_bias_is_measured_against_the_label():
    found = checked(
        {"bottle": "b", "guess_abv": 12.0}, {"bottle": "b", "guess_abv": 15.0}, {"bottle": "b"}
    )["guess_abv"]
    assert found["mean"] == pytest.approx(0.5)
    assert found["sd"] == pytest.approx(4.5**0.5)
    assert found["sd_of_mean"] == pytest.approx(1.5)
    assert (found["level"], found["tastings"]) == ("few", ["t1", "t0"])


def test_age_guess_needs_the_tasting_date():
    found = checked(
        {"bottle": "b", "guess_age_years": 7, "tasted_at": AT},
        {"bottle": "b", "guess_age_years": 7},
    )["guess_age_years"]
    assert (found["n"], found["mean"]) == (1, pytest.approx(-3))
