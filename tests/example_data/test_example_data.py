"""The example notebook is complete, valid and invented, and its taster has clear preferences."""

from collections import Counter
from datetime import datetime
from uuid import UUID

import pytest

from tests.example_data.make_example import DEMO_DATA, build_book, in_store_gtin, write_book
from tests.example_data.source_tables import styles
from tests.reference.rules.label_position import range_position
from tests.reference.validate import validate_fields
from webapp.records.validate import is_id
from webapp.rules.alcohol_range import tolerance_range

SPAN_START = datetime.fromisoformat("2025-03-20T00:00:00+01:00")
SPAN_END = datetime.fromisoformat("2026-11-20T00:00:00+01:00")
TODAY = "2026-11-20"
MARKETS_ON_THE_SHELF = {"EU", "US", "AU", "ZA", "CL"}


@pytest.fixture(scope="module")
def book():
    return build_book()


@pytest.fixture(scope="module")
def every_record(book):
    return [(kind, one) for kind, records in book.items() for one in records]


@pytest.fixture(scope="module")
def bottles(book):
    return {one["id"]: one["fields"] for one in book["bottle"]}


@pytest.fixture(scope="module")
def tastings(book):
    return [one["fields"] for one in book["tasting"]]


def test_example_generation_is_reproducible(tmp_path):
    write_book(tmp_path)
    kept = {path.name: path.read_bytes() for path in DEMO_DATA.iterdir() if path.is_file()}
    made = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    stale = sorted(name for name in kept | made if kept.get(name) != made.get(name))
    assert stale == [], "run `python -m tests.example_data.make_example` and commit demo_data/"


def test_example_fields_pass_validation(every_record):
    problems = {one["id"]: validate_fields(kind, one["fields"]) for kind, one in every_record}
    assert {where: found for where, found in problems.items() if found} == {}


def test_example_records_have_the_export_format(every_record):
    shape = {"kind", "id", "fields", "clocks", "deleted", "deleted_clock"}
    for kind, one in every_record:
        assert set(one) == shape
        assert (one["kind"], one["deleted"], one["deleted_clock"]) == (kind, False, None)
        assert is_id(one["id"])
        assert one["fields"].keys() == one["clocks"].keys()
        assert one["fields"]["example"] is True
        assert None not in one["fields"].values()


def test_ids_are_distinct_and_encode_their_time(book, every_record):
    ids = [one["id"] for _, one in every_record]
    assert len(set(ids)) == len(ids)
    for one in book["tasting"]:
        assert UUID(one["id"]).version == 7
        poured = datetime.fromisoformat(one["fields"]["tasted_at"])
        assert UUID(one["id"]).int >> 80 == poured.timestamp() * 1000


def test_every_reference_leads_to_a_record(book):
    known = {kind: {one["id"] for one in records} for kind, records in book.items()}
    for kind in ("tasting", "pick", "stock"):
        for one in book[kind]:
            assert one["fields"]["bottle"] in known["bottle"]
    visits = {one["fields"]["visit"] for one in book["tasting"] if "visit" in one["fields"]}
    assert visits == known["visit"]


def test_example_has_the_documented_size(book, bottles, tastings):
    tasted = {bottles[one["bottle"]]["style"] for one in tastings}
    assert len(tastings) >= 60
    assert len({one["bottle"] for one in tastings}) >= 60
    assert len(tasted) >= 28
    assert (len(book["visit"]), len(book["pick"]), len(book["settings"])) == (3, 20, 1)


def test_tastings_are_of_the_last_twenty_months(tastings):
    moments = [datetime.fromisoformat(one["tasted_at"]) for one in tastings]
    assert min(moments) > SPAN_START
    assert max(moments) < SPAN_END


def test_visits_have_five_or_six_pours_within_an_hour(book):
    for visit in book["visit"]:
        pours = [t["fields"] for t in book["tasting"] if t["fields"].get("visit") == visit["id"]]
        moments = [datetime.fromisoformat(pour["tasted_at"]) for pour in pours]
        assert len(pours) in (5, 6)
        assert moments == sorted(moments)
        assert (moments[-1] - moments[0]).total_seconds() < 3600
        assert [pour["flight_mark"] for pour in pours] == [str(i + 1) for i in range(len(pours))]


def test_some_bottles_repeat_and_some_notes_are_short(tastings):
    poured = Counter(Counter(one["bottle"] for one in tastings).values())
    assert poured[2] >= 8
    assert poured[3] >= 1
    assert sum("acidity" not in one for one in tastings) >= 12


def test_european_strengths_are_half_steps(bottles):
    printed = [one for one in bottles.values() if one["label_market"] == "EU"]
    assert {2 * one["label_abv"] % 1 for one in printed} == {0}


def test_tastings_follow_the_harvest_of_their_vintage(book, bottles):
    for one in book["tasting"] + book["pick"]:
        fields = one["fields"]
        seen = fields.get("tasted_at") or fields["seen_at"]
        assert bottles[fields["bottle"]].get("vintage", 0) <= int(seen[:4])


def test_shelf_spans_strengths_markets_and_states(book, bottles):
    picked = [bottles[one["fields"]["bottle"]] for one in book["pick"]]
    strengths = [one["label_abv"] for one in picked]
    assert (min(strengths), max(strengths)) == (5, 20.5)
    assert sum(14.5 <= strength <= 15.5 for strength in strengths) >= 5
    assert {one["label_market"] for one in picked} == MARKETS_ON_THE_SHELF
    assert {one["fields"]["state"] for one in book["pick"]} == {"open", "bought", "passed"}
    assert {one["fields"]["currency"] for one in book["pick"]} == {"EUR"}
    assert len({one["fields"]["shop"] for one in book["pick"]}) == 2


def test_shelf_has_picks_at_every_range_position(book, bottles):
    settings = book["settings"][0]["fields"]
    wanted = {"low": settings["wanted_abv_low"], "high": settings["wanted_abv_high"]}
    positions = Counter(
        range_position(tolerance_range(bottles[one["fields"]["bottle"]], TODAY), wanted)
        for one in book["pick"]
    )
    assert positions["inside"] >= 8
    assert positions["may_stray"] >= 5
    assert positions["outside"] >= 1


def test_labels_are_lawful_and_strengths_match_their_style(bottles):
    for one in bottles.values():
        style = styles()[one["style"]]
        assert tolerance_range(one, TODAY)["errors"] == []
        assert style["abv_low"] <= one["label_abv"] <= style["abv_high"]
        if style["legal_basis"] == "actual":
            assert one["label_abv"] >= (style["legal_min_abv"] or 0)


def test_barcodes_are_of_the_shop_internal_range(bottles):
    codes = [one["gtin"] for one in bottles.values() if "gtin" in one]
    assert len(set(codes)) == 6
    assert all(code.startswith("2") for code in codes)


def test_check_digit_follows_the_standard():
    """By hand: 2000000 00001 with weights 3, 1, .. from the right gives 3*1 + 1*2 = 5, so 5."""
    assert in_store_gtin(1) == "2000000000015"


def test_notes_are_distinct(tastings):
    notes = [one["words"] for one in tastings]
    assert len(set(notes)) == len(tastings)


def test_likings_vary_and_strength_guesses_run_high(tastings, bottles):
    assert {one["liking"] for one in tastings} >= {1, 2, 3, 4, 5, 6, 7, 8, 9}
    off = [
        one["guess_abv"] - bottles[one["bottle"]]["label_abv"]
        for one in tastings
        if "guess_abv" in one
    ]
    assert 22 <= len(off) <= 30
    assert 0.2 < sum(off) / len(off) < 0.8


def test_guesses_are_locked_before_the_reveal(tastings):
    hidden = [one for one in tastings if one.get("label_hidden")]
    assert all(one["guesses_locked_at"] < one["uncovered_at"] <= one["closed_at"] for one in hidden)


def test_jar_marks_are_on_about_six_tastings_in_ten(tastings):
    marked = sum(any(name.startswith("just_right_") for name in one) for one in tastings)
    assert 0.5 <= marked / len(tastings) <= 0.7
