import math

import numpy as np
import pytest

from tests.palate.examples import STYLES
from webapp.palate.data.from_records import number_within, parse_time, read_tastings, to_arrays
from webapp.palate.data.wine_styles import wine_space
from webapp.palate.fit_model import fit_records

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
        fit_records([*known, *more], BOTTLES, STYLES).compact()
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
    palate = fit_records(tastings, BOTTLES, STYLES)
    nobody = fit_records([], [], STYLES)
    malbec = ["red_malbec_mendoza"]
    assert palate.predict(style=malbec).mean > nobody.predict(style=malbec).mean
    assert palate.repeatability.within_sd == 0
