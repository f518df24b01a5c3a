"""The texts of the example are in every language, and everything else in it stays as it is."""

import json
import re

import pytest

from tests.example_data.make_example import DEMO_DATA, build_book
from tests.reference.validate import validate_fields
from webapp import spec
from webapp.archive.example import read_example

TRANSLATIONS = [language for language in spec.vocabulary("language") if language != "en"]
# Texts that are names: of wines, people, grapes and shops, or marks.
NAMES = {
    "bottle": {"name", "producer", "grapes", "region"},
    "glass": {"mark"},
    "group_tasting": {"leader_name"},
    "guest": {"name"},
    "person": {"name"},
    "pick": {"shop"},
    "sheet": {"guess_grape"},
    "tasting": {"with_whom", "guess_grape", "flight_mark"},
}
# What is the same in every language: the sign of own words, digits, people.
KEPT = re.compile(r"~|\d+|Bastiaan|Jorun|Imke|Eulenstiege")
SIGNS = {"fr": r"[^\u202f][;:!?»]|«[^\u202f]", "it": r"\s[;:!?»]|«\s"}


@pytest.fixture(params=TRANSLATIONS)
def language(request):
    return request.param


@pytest.fixture
def words(language):
    return json.loads((DEMO_DATA / "words" / f"{language}.json").read_text("utf-8"))


def split(record):
    """Return what the taster wrote, own aroma words too, and the record without it."""
    texts, rest = [], {}
    for name, value in record["fields"].items():
        type_ = spec.kinds()[record["kind"]][name]["type"]
        if type_ == "text" and name not in NAMES.get(record["kind"], ()):
            texts.append(value)
        elif type_ == "aromas":
            texts += [one for one in value if one.startswith("~")]
            rest[name] = [one for one in value if not one.startswith("~")]
        else:
            rest[name] = value
    return texts, {**record, "fields": rest}


def test_every_text_is_translated_and_none_is_left_over(words):
    texts = {text for records in build_book().values() for one in records for text in split(one)[0]}
    assert sorted(texts - words.keys()) == []
    assert sorted(words.keys() - texts) == []


def test_translations_are_distinct_and_keep_digits_and_people(words):
    assert len(set(words.values())) == len(words)
    assert [t for t in words if sorted(KEPT.findall(t)) != sorted(KEPT.findall(words[t]))] == []


def test_translations_follow_the_typography(words, language):
    """Quotation marks and apostrophes are curved; French signs have narrow no-break spaces."""
    wrong = re.compile(rf"['\"]|\s\s|^\s|\s$|{SIGNS[language]}")
    assert [text for text in words.values() if wrong.search(text)] == []


def test_translated_example_is_valid_and_else_the_same(language):
    records = [*read_example(language).records()]
    assert [one["fields"] for one in records if validate_fields(one["kind"], one["fields"])] == []
    assert [split(one)[1] for one in records] == [split(o)[1] for o in read_example("en").records()]


def test_example_is_english_where_a_language_has_no_words():
    assert [*read_example("xx").records()] == [*read_example("en").records()]
