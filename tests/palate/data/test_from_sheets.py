"""Sheets of led tastings become the tastings of a person."""

from webapp.palate.data.from_sheets import tastings_of_person
from webapp.palate.use.report import select_person_inputs

GUESTS = [
    {"id": "g1", "person": "ann", "name": "Ann"},
    {"id": "g2", "person": "ben"},
    {"id": "g3", "person": "ann"},
    {"id": "g4"},
]
GLASSES = [{"id": "a", "bottle": "b1"}, {"id": "b", "bottle": "b2"}]
SHEETS = [
    {"id": "s1", "guest": "g1", "glass": "a", "liking": 7, "acidity": 6, "words": "fine"},
    {"id": "s2", "guest": "g2", "glass": "a", "liking": 3},
    {"id": "s3", "guest": "g3", "glass": "b", "liking": 5, "just_right_body": 1},
    {"id": "s4", "guest": "g4", "glass": "b", "liking": 9},
    {"id": "s5", "glass": "b", "liking": 9},
]
BOTTLES = [
    {"id": "b1", "style": "one", "merged_into": "b3"},
    {"id": "b2", "style": "two", "merged_into": "b2"},
    {"id": "b3", "style": "three"},
    {"id": "b4", "style": "four"},
]


def test_sheets_of_every_table_have_their_bottles():
    assert tastings_of_person("ann", GUESTS, GLASSES, SHEETS) == [
        {"id": "s1", "liking": 7, "acidity": 6, "bottle": "b1"},
        {"id": "s3", "liking": 5, "just_right_body": 1, "bottle": "b2"},
    ]


def test_sheet_of_an_unknown_glass_has_no_bottle():
    sheets = [{"id": "s", "guest": "g1", "glass": "gone", "liking": 4}]
    assert tastings_of_person("ann", GUESTS, GLASSES, sheets)[0]["bottle"] is None


def test_person_inputs_have_only_the_bottles_poured():
    tastings, bottles = select_person_inputs("ann", GUESTS, GLASSES, SHEETS, BOTTLES)
    assert [one["id"] for one in tastings] == ["s1", "s3"]
    assert [one["id"] for one in bottles] == ["b1", "b2", "b3"]
