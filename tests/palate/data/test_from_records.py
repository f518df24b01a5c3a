import math

import numpy as np
import pytest

from tests.palate.examples import STYLES
from webapp import spec
from webapp.palate.data.from_records import number_within, parse_time, read_tastings, to_arrays
from webapp.palate.data.label_values import sweetness_of
from webapp.palate.data.wine_styles import wine_space
from webapp.palate.fit_model import fit_palate

BOTTLES = [
    {"id": "b1", "fields": {"style": "red_malbec_mendoza", "label_abv": 14.0, "vintage": 2019}},
    {"id": "b2", "fields": {"style": "nowhere", "label_abv_low": 12.0, "label_abv_high": 13.0}},
    {"id": "b3", "fields": {"merged_into": "b1"}},
    {"id": "b4", "fields": {"merged_into": "b4"}},
    {"id": "b5", "fields": {"style": "red_malbec_mendoza"}, "deleted": True},
]


def tasting(name, **fields):
    return {"id": name, "kind": "tasting", "fields": fields}


def arrays(*tastings):
    book = read_tastings(tastings, BOTTLES)
    return book, to_arrays(book, wine_space(STYLES))


def fitted(tastings, bottles=BOTTLES):
    space = wine_space(STYLES)
    return fit_palate(to_arrays(read_tastings(tastings, bottles), space), space)


def test_record_and_flat_mapping_are_equivalent():
    as_record = tasting("t", bottle="b1", liking=7, acidity=6.5)
    flat = {"id": "t", "bottle": "b1", "liking": 7, "acidity": 6.5}
    one, two = arrays(as_record)[1], arrays(flat)[1]
    assert one["liking"].tolist() == two["liking"].tolist() == [7]
    assert one["X"][0, 1] == two["X"][0, 1] == 6.5
    assert one["style"] == two["style"] == ["red_malbec_mendoza"]


def test_tastings_are_sorted_and_deleted_ones_skipped():
    book, _ = arrays(
        tasting("new", tasted_at="2026-03-01T20:00:00+01:00"),
        tasting("old", tasted_at="2024-03-01T20:00:00Z"),
        tasting("undated"),
        {**tasting("gone"), "deleted": True},
    )
    assert [t.id for t in book] == ["undated", "old", "new"]


def test_bottle_with_a_fault_is_left_out_unless_it_counts():
    book, _ = arrays(
        tasting("sound", liking=7, faults=[]),
        tasting("corked", liking=1, faults=["corked:3"]),
        tasting("not_counted", liking=1, faults=["brett"], fault_counts=False),
        tasting("counted", liking=8, faults=["brett:1"], fault_counts=True),
    )
    assert [t.id for t in book] == ["counted", "sound"]


def test_bottle_with_a_fault_changes_no_palate():
    known = [tasting(f"t{n}", bottle="b1", liking=8, acidity=7 - n % 3) for n in range(6)]
    corked = tasting("x", bottle="b1", liking=1, acidity=9, faults=["corked"])
    plain, corked_one, counted = (
        fitted([*known, *more]).compact()
        for more in (
            [],
            [corked],
            [{**corked, "fields": corked["fields"] | {"fault_counts": True}}],
        )
    )
    assert corked_one == plain
    assert counted != plain


def test_merged_bottle_resolves_to_its_survivor():
    book, _ = arrays(tasting("t", bottle="b3"), tasting("u", bottle="b1"))
    assert [t.bottle_id for t in book] == ["b1", "b1"]
    assert book[0].label_abv == 14.0


def test_self_merged_bottle_ends_the_resolution():
    assert arrays(tasting("t", bottle="b4"))[0][0].bottle_id == "b4"


def test_invalid_values_count_as_missing():
    _, found = arrays(
        tasting("t", bottle="b2", liking=11, acidity="high", body=True, oak=-3, tannin=math.nan),
        tasting("u", bottle="b5", liking="8", just_right_oak=0.5, just_right_body=1),
    )
    assert np.isnan(found["liking"]).all()
    assert np.isnan(found["X"]).all()
    assert found["style"] == [None, None]
    assert np.isnan(found["just_right"]).sum() == 13
    assert found["just_right"][1, 3] == 1


def stated(**fields):
    bottle = {"id": "b", "fields": fields}
    book = read_tastings([tasting("t", bottle="b")], [bottle])
    return to_arrays(book, wine_space(STYLES))


def test_sugar_and_acidity_are_known_values():
    found = stated(style="red_malbec_mendoza", residual_sugar_gl=60, total_acidity_gl=4.0)
    usual = next(style for style in STYLES if style["style_id"] == "red_malbec_mendoza")
    assert usual["sweetness"] + 1 < found["known"][0, 0] < 5.8
    assert 3.0 < found["known"][0, 1] < usual["acidity"]
    assert found["known_spread"][0, 0] < usual["sweetness_sd"]
    assert np.isnan(found["known"][0, 2:]).all()


def test_acidity_hides_as_much_sugar_as_the_law_says():
    """Regulation (EU) 2019/33: dry reaches from 4 g/l of sugar to 9 with acidity."""
    assert sweetness_of(9, 7) == pytest.approx(sweetness_of(8, 6))
    assert sweetness_of(9, 9) < sweetness_of(9, np.nan) == sweetness_of(9, 6) < sweetness_of(9, 4)
    assert sweetness_of(1, 12) == pytest.approx(sweetness_of(0.5, 6))
    assert (sweetness_of(0, 9), sweetness_of(700, 5)) == (0, 10)


def test_curves_are_those_of_the_app():
    perceived = spec.load("sweetness")["perceived"]
    curves = wine_space(STYLES).analysis
    assert perceived["sugar"] == {
        "factor": curves["sugar_factor"],
        "half_gl": curves["half_sugar_gl"],
    }
    points = zip(curves["acidity_gl"], curves["acidity_points"], strict=True)
    assert [list(each) for each in points] == perceived["acidity_points"]


@pytest.mark.parametrize(
    ("fields", "family"),
    [
        ({"colour": "red", "kind": "still"}, "red|still"),
        ({"colour": "rose", "kind": "fortified"}, "rose|"),
        ({"style": "nowhere", "kind": "sparkling"}, "|sparkling"),
        ({"style": ["red"], "colour": "red"}, "red|"),
        ({"colour": "blue", "kind": "sparkling"}, "|sparkling"),
        ({"colour": "blue"}, None),
        ({}, None),
    ],
)
def test_colour_and_kind_stand_in_for_a_style(fields, family):
    assert stated(**fields)["style"] == [family]


def test_colour_seen_stands_in_for_that_of_the_label():
    _, found = arrays(tasting("t", look_colour="rose"))
    assert found["style"] == ["rose|"]


def test_answer_to_buying_is_read():
    _, found = arrays(*(tasting(name, would_buy=name) for name in ("maybe", "never", "no", "yes")))
    assert found["would_buy"][[0, 2, 3]].tolist() == [0, -1, 1]
    assert np.isnan(found["would_buy"][1])


def test_printed_range_uses_its_middle_and_predicts_warmth():
    book, found = arrays(tasting("t", bottle="b2"), tasting("u"))
    assert book[0].label_abv == 12.5
    assert found["known"][0, 4] == pytest.approx(-3.25 + 0.65 * 12.5)
    assert np.isnan(found["known"][1]).all()


@pytest.mark.parametrize("text", [None, "", "yesterday", "2026-03-01", "2026-03-01T10:00:00", 5])
def test_timestamp_without_an_offset_is_invalid(text):
    assert parse_time(text) is None


@pytest.mark.parametrize("value", [True, None, "5", 10.1, -0.1, math.inf, math.nan])
def test_number_out_of_bounds_is_ignored(value):
    assert math.isnan(number_within(value, 0, 10))


def test_palate_is_fitted_from_records():
    tastings = [tasting(f"t{i}", bottle="b1", liking=8, body=7.5) for i in range(6)]
    palate = fitted(tastings)
    nobody = fitted([], [])
    malbec = ["red_malbec_mendoza"]
    assert palate.predict(style=malbec).mean > nobody.predict(style=malbec).mean
    assert palate.repeatability.within_sd == 0
