"""The led tastings of the example agree with themselves, with the wines and with the guests."""

import re
from collections import Counter, defaultdict
from datetime import date, datetime
from statistics import fmean

import pytest

from tests.example_data import persona, source_tables
from tests.example_data.guest_tasters import TASTERS
from tests.example_data.make_example import build_book
from tests.example_data.tasting import said_marks
from tests.example_data.test_example_agreement import COMPLAINTS, MOST_WRONG, marks_of, wrong
from webapp.group_tasting.closing import last_ms
from webapp.group_tasting.ids import sheet_id
from webapp.group_tasting.table import Table, step_of
from webapp.palate.use.report import palate_report, select_person_inputs

MIN_TASTED = 10
"""Wines after which a palate says something of a person."""


def flat(book, kind):
    return [{"id": one["id"], **one["fields"]} for one in book[kind]]


@pytest.fixture(scope="module")
def book():
    return build_book()


@pytest.fixture(scope="module")
def tables(book):
    """Return each led tasting as the server loads it, by name."""
    found = {}
    for head in flat(book, "group_tasting"):
        mine = {
            kind: {one["id"]: one for one in flat(book, kind) if one["group_tasting"] == head["id"]}
            for kind in ("glass", "guest", "sheet")
        }
        found[head["name"]] = Table(head, mine["glass"], mine["guest"], sheets=mine["sheet"])
    return found


@pytest.fixture(scope="module")
def sheets(book):
    return [one["fields"] for one in book["sheet"]]


@pytest.fixture(scope="module")
def evening(tables):
    return tables["Six glasses, five bottles"]


def test_sheets_refer_to_their_own_table(book, tables):
    people = {one["id"] for one in book["person"]}
    bottles = {one["id"] for one in book["bottle"]}
    for table in tables.values():
        assert table.sheets
        assert {one["bottle"] for one in table.glasses.values()} <= bottles
        assert {one["person"] for one in table.guests.values() if "person" in one} <= people
        for id_, sheet in table.sheets.items():
            assert sheet["glass"] in table.glasses
            assert sheet["guest"] in table.guests
            assert sheet.get("guess_same_as", sheet["glass"]) in table.glasses
            assert id_ == sheet_id(sheet["guest"], sheet["glass"])


def test_sheets_answer_only_what_was_asked(tables):
    own = {"id", "group_tasting", "glass", "guest", "tasted_at", "example"}
    for table in tables.values():
        for sheet in table.sheets.values():
            assert sheet.keys() - own <= table.asked_fields()


def test_glasses_were_tasted_in_the_order_of_the_evening(evening):
    for glass in evening.glasses.values():
        closed = [last_ms(glass[f"closed_{step}_at"]) for step in evening.steps()]
        assert closed == sorted(closed)
        assert closed[-1] < last_ms(glass["discussed_at"]) < last_ms(glass["uncovered_at"])
        tasted = [one for one in evening.sheets.values() if one["glass"] == glass["id"]]
        assert tasted
        assert all(last_ms(one["tasted_at"]) < closed[-1] for one in tasted)
    assert last_ms(glass["uncovered_at"]) < evening.ended_ms


def test_evening_has_five_guests_by_every_way(evening):
    entries = Counter(one["entry"] for one in evening.guests.values())
    assert entries == {"leader": 1, "phone": 3, "passed": 1, "qr": 1}
    assert evening.labels_hidden
    assert evening.keeps_days is None


def test_one_bottle_is_in_two_glasses_of_the_evening(evening):
    poured = Counter(one["bottle"] for one in evening.glasses.values())
    assert sorted(poured.values()) == [1, 1, 1, 1, 2]


def test_duplicate_is_named_by_some_and_missed_by_some(evening, tables):
    triangle = tables["Two of three are the same"]
    assert len(triangle.glasses) == 3
    for table in (evening, triangle):
        bottle = {id_: one["bottle"] for id_, one in table.glasses.items()}
        named = [one for one in table.sheets.values() if "guess_same_as" in one]
        right = [one for one in named if bottle[one["glass"]] == bottle[one["guess_same_as"]]]
        assert 3 <= len(right) < len(table.guests)


def test_some_answers_of_the_evening_are_absent(evening):
    cells = len(evening.guests) * len(evening.glasses)
    assert cells - 2 <= len(evening.sheets) < cells
    steps = defaultdict(set)
    for sheet in evening.sheets.values():
        steps[sheet["id"]] = {step_of()[name] for name in sheet.keys() & evening.asked_fields()}
    assert sum(len(found) < len(evening.steps()) for found in steps.values()) >= 4


def test_liked_glasses_are_nearly_all_just_right(sheets):
    assert [
        one
        for one in sheets
        if len(wrong(one)) > MOST_WRONG.get(one.get("liking", 1), len(persona.SCALES))
    ] == []


def test_written_words_are_rated_and_not_contradicted(sheets):
    values = {row["words"]: row["says"] for row in source_tables.sheet_plan().values()}
    written = [one for one in sheets if "words" in one]
    assert len(written) >= 12
    for one in written:
        marks = marks_of(one)
        for pattern, scale, mark in COMPLAINTS:
            if re.search(pattern, one["words"].lower()):
                assert marks.get(scale) != mark, one["words"]
        for scale, mark in said_marks(values[one["words"]]).items():
            assert not marks or marks.get(scale) == mark, one["words"]


def test_praise_and_blame_agree_with_the_liking(sheets):
    for one in sheets:
        words = one.get("words", "").lower()
        if re.search(r"want the bottle|more of this|fills the mouth|i would open", words):
            assert one["liking"] >= 7, words
        if re.search(r"lemonade|lemon water|before it starts|too big", words):
            assert one["liking"] <= 4, words
        if "would_buy" in one and one["liking"] <= 4:
            assert one["would_buy"] == "no"


def test_noted_intensities_follow_the_wine(book, sheets):
    """Averaged over guests, the scales order the glasses as the bottles are in truth."""
    keys = {(row["name"], row["vintage"]): row for row in source_tables.bottle_plan().values()}
    rows = {
        one["id"]: keys[one["fields"]["name"], str(one["fields"].get("vintage", ""))]
        for one in book["bottle"]
    }
    bottle = {one["id"]: rows[one["fields"]["bottle"]] for one in book["glass"]}
    for scale in ("acidity", "body", "oak", "warmth"):
        noted = defaultdict(list)
        for one in sheets:
            if scale in one:
                noted[bottle[one["glass"]]["key"]].append(one[scale])
        true = {
            key: persona.in_bottle(key, row["style"], float(row["abv"]))[scale]
            for key, row in source_tables.bottle_plan().items()
            if key in noted
        }
        assert all(abs(fmean(noted[key]) - true[key]) < 1 for key in noted), scale


def test_people_agreed_and_have_tasted_enough(book, tables):
    agreed = {one["fields"]["name"]: one for one in book["person"]}
    assert sorted(agreed) == ["Bastiaan", "Jorun"]
    for name, person in agreed.items():
        guests = [one for one in flat(book, "guest") if one.get("person") == person["id"]]
        assert {one["name"] for one in guests} == {name}
        mine = {one["id"] for one in guests}
        rated = [one for one in flat(book, "sheet") if one["guest"] in mine and "liking" in one]
        assert len(rated) >= MIN_TASTED
        assert datetime.fromisoformat(person["fields"]["agreed_at"]).year == 2026


@pytest.mark.parametrize("key", ["jorun", "bastiaan"])
def test_learned_palate_matches_the_guest(book, key):
    taster = TASTERS[key]
    person = next(one["id"] for one in book["person"] if one["fields"]["name"] == taster.name)
    kinds = ("guest", "glass", "sheet", "bottle")
    inputs = select_person_inputs(person, *(flat(book, kind) for kind in kinds))
    document = palate_report(*inputs, list(source_tables.styles().values()), date(2026, 11, 20))
    learned = {one["style"]: one["mean"] for one in document["styles"]}
    true = {}
    for row in source_tables.bottle_plan().values():
        inside = persona.in_bottle(row["key"], row["style"], float(row["abv"]))
        true.setdefault(row["style"], []).append(taster.true_liking(taster.in_the_mouth(inside)))
    order = sorted(learned, key=learned.get)
    assert len(order) >= 8
    half = len(order) // 2
    low, high = (fmean(fmean(true[key]) for key in part) for part in (order[:half], order[half:]))
    assert high > low + 1
