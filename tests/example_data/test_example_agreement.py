"""In the example, just-right ratings, likings, words and scales agree with each other."""

import re
from collections import defaultdict
from statistics import fmean

import pytest

from tests.example_data import persona, source_tables
from tests.example_data.make_example import build_book
from tests.example_data.tasting import said_marks

MARK = "just_right_"
# Most ratings other than "just right" that a reader believes of a wine of this liking.
MOST_WRONG = {9: 0, 8: 1, 7: 2, 6: 2}
# Words of a complaint, the scale they are about, and the rating they contradict.
COMPLAINTS = [
    (r"\b(wood|planks|barrel talks|oak is showing|cupboard|dining room|more toast)\b", "oak", -1),
    (r"\b(heat|bonfire|burns|fire|hot cheeks|warm (at|in)|radiator)\b", "warmth", -1),
    (r"\b(gums|carpet|grip|dries)\b", "tannin", -1),
    (r"\b(no sourness|flat where|soft where|missed the bite|miss one)\b", "acidity", 1),
    (r"\b(too sharp|so sour|sour as|sourness has outlived)\b", "acidity", -1),
    (r"\b(sugar|sweeter|syrup)\b", "sweetness", -1),
    (r"\b(heavier|too big|giant|wide shoulders)\b", "body", -1),
]


def marks_of(fields):
    return {name[len(MARK) :]: mark for name, mark in fields.items() if name.startswith(MARK)}


@pytest.fixture(scope="module")
def tastings():
    return [one["fields"] for one in build_book()["tasting"]]


@pytest.fixture(scope="module")
def marked(tastings):
    return [one for one in tastings if marks_of(one)]


def wrong(fields):
    return [scale for scale, mark in marks_of(fields).items() if mark]


def test_liked_wines_are_nearly_all_just_right(marked):
    assert [
        (one["words"], wrong(one))
        for one in marked
        if len(wrong(one)) > MOST_WRONG.get(one["liking"], len(persona.SCALES))
    ] == []


def test_disliked_wines_say_what_is_wrong(marked):
    assert [one["words"] for one in marked if one["liking"] <= 3 and len(wrong(one)) < 2] == []


def test_no_rating_contradicts_the_words(marked):
    assert [
        (one["words"], scale)
        for one in marked
        for pattern, scale, mark in COMPLAINTS
        if re.search(pattern, one["words"].lower()) and marks_of(one).get(scale) == mark
    ] == []


def test_what_the_words_say_is_rated(marked):
    values = {row["words"]: said_marks(row["says"]) for row in source_tables.tasting_plan()}
    assert [
        (one["words"], scale)
        for one in marked
        for scale, mark in values[one["words"]].items()
        if marks_of(one).get(scale) != mark
    ] == []


def test_too_much_is_noted_higher_than_too_little(marked):
    noted = defaultdict(list)
    for one in marked:
        for scale, mark in marks_of(one).items():
            noted[scale, mark].append(one[scale])
    for scale in ("acidity", "warmth", "body"):
        assert fmean(noted[scale, -1]) < fmean(noted[scale, 0]) < fmean(noted[scale, 1])
    assert fmean(noted["oak", 0]) < fmean(noted["oak", 1])
    assert fmean(noted["tannin", 0]) < fmean(noted["tannin", 1])


def test_repeated_bottle_has_no_opposite_ratings(marked):
    by_bottle = defaultdict(set)
    for one in marked:
        by_bottle[one["bottle"]] |= set(marks_of(one).items())
    for bottle, marks in by_bottle.items():
        opposite = [scale for scale, mark in marks if mark == 1 and (scale, -1) in marks]
        assert opposite == [], bottle


def test_best_liked_wines_are_in_balance_and_bought_again(tastings):
    for one in tastings:
        if one["liking"] >= 8 and "balance" in one:
            assert one["balance"] >= 6
            assert one["would_buy"] == "yes"
        if one["liking"] <= 4 and "would_buy" in one:
            assert one["would_buy"] == "no"


def test_bubbles_and_seconds_of_the_words_are_noted(tastings):
    for one in tastings:
        words = one["words"].lower()
        if "bubbles" in words and "look_bubbles" in one:
            assert one["look_bubbles"] == ("gentle" if "half asleep" in words else "lively")
        for entry, seconds in (
            ("four seconds", 4),
            ("thirty-eight seconds", 38),
            ("past forty", 41),
        ):
            if entry in words:
                assert abs(one["finish_s"] - seconds) < 1
