import pytest

from webapp.palate.data.from_records import read_tastings
from webapp.palate.use.calibration import label_calibration

BOTTLES = [
    {"id": "b", "fields": {"label_abv": 13.0, "vintage": 2015}},
    {"id": "plain", "fields": {}},
    *({"id": f"b{i}", "fields": {"label_abv": 13.0}} for i in range(6)),
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
    found = checked(*[{"bottle": f"b{i}", "warmth": WARMTH_AT_13 + 0.39} for i in range(6)])[
        "warmth"
    ]
    assert found["mean"] == pytest.approx(0.39)
    assert found["mean_abv"] == pytest.approx(0.6)
    assert (found["n"], found["level"]) == (6, "known")


def test_warmth_bias_needs_five_wines():
    found = checked(*[{"bottle": "b", "warmth": 5.0}] * 6)["warmth"]
    assert (found["n"], found["level"]) == (6, "few")


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


@pytest.mark.parametrize(
    ("vintage", "n"), [(1800, 1), (1799, 0), (2100, 1), (2101, 0), (True, 0), ("2015", 0)]
)
def test_age_guess_needs_a_possible_vintage(vintage, n):
    fields = {"bottle": "b", "guess_age_years": 7, "tasted_at": AT}
    bottle = {"id": "b", "fields": {"vintage": vintage}}
    found = label_calibration(read_tastings([{"id": "t", "fields": fields}], [bottle]))
    assert found["guess_age_years"]["n"] == n


@pytest.mark.parametrize(
    ("field", "value", "n"),
    [
        ("guess_abv", 0.0, 1),
        ("guess_abv", 25.0, 1),
        ("guess_abv", 25.1, 0),
        ("guess_age_years", 0, 1),
        ("guess_age_years", 200, 1),
        ("guess_age_years", 200.5, 0),
    ],
)
def test_guess_outside_its_scale_is_left_out(field, value, n):
    assert checked({"bottle": "b", "tasted_at": AT, field: value})[field]["n"] == n


def test_calibration_is_known_from_five_and_lists_the_latest():
    few, enough = (checked(*[{"bottle": "b", "guess_abv": 14.0}] * n) for n in (4, 5))
    assert (few["guess_abv"]["level"], enough["guess_abv"]["level"]) == ("few", "known")
    many = checked(*[{"bottle": "b", "guess_abv": 14.0}] * 201)["guess_abv"]
    assert (many["n"], len(many["tastings"])) == (201, 200)
    assert checked({"bottle": "b", "guess_abv": 14.0})["guess_abv"]["sd"] is None
