"""The words of every language against the English ones: keys, places to fill, nothing left out."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

WORDS = Path(__file__).parents[2] / "static" / "words"
ENGLISH = "en"
LANGUAGES = sorted(folder.name for folder in WORDS.iterdir() if folder.is_dir())
TRANSLATIONS = [language for language in LANGUAGES if language != ENGLISH]
# The plural categories of Unicode CLDR; `other` is every language's fallback.
PLURALS = ("zero", "one", "two", "few", "many", "other")
MOST_ALIKE = 0.25
# Laws ask for these word for word, so they stay as they are in every language.
QUOTED_LAW = "GOVERNMENT WARNING:"

Words = dict[str, str]


def rooms() -> list[str]:
    return sorted(file.name for file in (WORDS / ENGLISH).glob("*.json"))


def words_of(language: str, room: str) -> Words:
    words: Words = json.loads((WORDS / language / room).read_text(encoding="utf-8"))
    return words


def book_of_words(language: str) -> Words:
    return {key: text for room in rooms() for key, text in words_of(language, room).items()}


def plural_stems(words: Words) -> set[str]:
    """Keys that come in plural forms, without the form: `book.years` of `book.years.other`."""
    return {
        key.removesuffix(".other")
        for key in words
        if key.endswith(".other") and key.removesuffix("other") + "one" in words
    }


def stem_of(key: str, stems: set[str]) -> str:
    """The key without its plural form, where it has one."""
    stem, _, form = key.rpartition(".")
    return stem if form in PLURALS and stem in stems else key


def places(text: str) -> set[str]:
    return set(re.findall(r"\{(\w+)\}", text))


def with_one_form(language: str, room: str) -> set[str]:
    stems = plural_stems(words_of(ENGLISH, room))
    return {stem_of(key, stems) for key in words_of(language, room)}


@pytest.mark.parametrize("language", TRANSLATIONS)
def test_a_language_has_a_file_for_every_room_and_no_other(language: str) -> None:
    assert sorted(file.name for file in (WORDS / language).iterdir()) == rooms()


@pytest.mark.parametrize("room", rooms())
@pytest.mark.parametrize("language", TRANSLATIONS)
def test_a_language_has_the_keys_of_english_and_no_other(language: str, room: str) -> None:
    here, english = with_one_form(language, room), with_one_form(ENGLISH, room)
    assert sorted(english - here) == []
    assert sorted(here - english) == []


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_plural_has_the_form_that_stands_in_for_the_others(language: str) -> None:
    words = book_of_words(language)
    stems = plural_stems(book_of_words(ENGLISH))
    assert sorted(stem for stem in stems if f"{stem}.other" not in words) == []


@pytest.mark.parametrize("language", TRANSLATIONS)
def test_a_text_fills_the_same_places_as_in_english(language: str) -> None:
    english, stems = book_of_words(ENGLISH), plural_stems(book_of_words(ENGLISH))
    strange = []
    for key, text in book_of_words(language).items():
        stem = stem_of(key, stems)
        model = places(english.get(key, english.get(f"{stem}.other", "")))
        # One language says "once" where another needs the figure.
        spared = {"count"} if stem != key else set()
        if places(text) - spared != model - spared:
            strange.append(key)
    assert strange == []


@pytest.mark.parametrize("language", TRANSLATIONS)
def test_the_form_for_many_says_how_many_where_english_does(language: str) -> None:
    english, words = book_of_words(ENGLISH), book_of_words(language)
    silent = [
        key
        for key in (f"{stem}.other" for stem in plural_stems(english))
        if "{count}" in english[key] and "{count}" not in words.get(key, "")
    ]
    assert silent == []


@pytest.mark.parametrize("language", TRANSLATIONS)
def test_no_text_is_empty_that_is_written_in_english(language: str) -> None:
    english = book_of_words(ENGLISH)
    assert (
        sorted(
            key
            for key, text in book_of_words(language).items()
            if not text.strip() and english.get(key, "-").strip()
        )
        == []
    )


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_brace_always_belongs_to_a_place_to_fill(language: str) -> None:
    assert [
        key
        for key, text in book_of_words(language).items()
        if re.search(r"[{}]", re.sub(r"\{\w+\}", "", text))
    ] == []


@pytest.mark.parametrize("language", TRANSLATIONS)
def test_most_texts_differ_from_the_english_ones(language: str) -> None:
    english, words = book_of_words(ENGLISH), book_of_words(language)
    alike = sorted(key for key, text in words.items() if english.get(key) == text)
    assert len(alike) <= MOST_ALIKE * len(words), (
        f"{language}: the same as in English: {', '.join(alike)}"
    )


@pytest.mark.parametrize("language", TRANSLATIONS)
def test_the_warning_that_a_law_words_is_quoted_as_it_stands(language: str) -> None:
    english, words = book_of_words(ENGLISH), book_of_words(language)
    quoted = [key for key, text in english.items() if text.startswith(QUOTED_LAW)]
    assert quoted
    assert [key for key in quoted if words.get(key) != english[key]] == []


def test_french_holds_its_signs_to_the_words_before_them() -> None:
    loose = re.compile(r"[^\u202f:/][;!?»]|[^\u202f\d:]:(?!/)|« |[ \u00a0][;:!?%]")
    texts = book_of_words("fr").items()
    assert [
        key
        for key, text in texts
        if not text.startswith(QUOTED_LAW) and loose.search(text.replace("\u00a0»", "\u202f»"))
    ] == []
