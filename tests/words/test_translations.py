"""Messages of every language against English: keys, placeholders and completeness."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path

WORDS = Path(__file__).parents[2] / "static" / "words"
ENGLISH = "en"
LANGUAGES = sorted(folder.name for folder in WORDS.iterdir() if folder.is_dir())
TRANSLATIONS = [language for language in LANGUAGES if language != ENGLISH]
# Plural categories of Unicode CLDR; `other` is the fallback in every language.
PLURALS = ("zero", "one", "two", "few", "many", "other")
MOST_ALIKE = 0.25
# Laws require this text word for word, so it is the same in every language.
QUOTED_LAW = "GOVERNMENT WARNING:"

Words = dict[str, str]


def word_files() -> list[str]:
    return sorted(file.name for file in (WORDS / ENGLISH).glob("*.json"))


def words_of(language: str, file: str) -> Words:
    words: Words = json.loads((WORDS / language / file).read_text(encoding="utf-8"))
    return words


def all_words(language: str) -> Words:
    return {key: text for file in word_files() for key, text in words_of(language, file).items()}


def plural_stems(words: Words) -> set[str]:
    """Return keys with plural forms, without the form: `book.years` for `book.years.other`."""
    return {
        key.removesuffix(".other")
        for key in words
        if key.endswith(".other") and key.removesuffix("other") + "one" in words
    }


def stem_of(key: str, stems: set[str]) -> str:
    """Return the key without its plural form."""
    stem, _, form = key.rpartition(".")
    return stem if form in PLURALS and stem in stems else key


def placeholders(text: str) -> set[str]:
    return set(re.findall(r"\{(\w+)\}", text))


def with_one_form(language: str, file: str) -> set[str]:
    stems = plural_stems(words_of(ENGLISH, file))
    return {stem_of(key, stems) for key in words_of(language, file)}


def plural_form_missing(language: str) -> list[str]:
    words, stems = all_words(language), plural_stems(all_words(ENGLISH))
    return sorted(stem for stem in stems if f"{stem}.other" not in words)


def other_placeholders(language: str) -> list[str]:
    english, stems = all_words(ENGLISH), plural_stems(all_words(ENGLISH))
    strange = []
    for key, text in all_words(language).items():
        stem = stem_of(key, stems)
        model = placeholders(english.get(key, english.get(f"{stem}.other", "")))
        # A plural form may omit the count, as in "once".
        spared = {"count"} if stem != key else set()
        if placeholders(text) - spared != model - spared:
            strange.append(key)
    return strange


def plural_without_count(language: str) -> list[str]:
    english, words = all_words(ENGLISH), all_words(language)
    return [
        key
        for key in (f"{stem}.other" for stem in plural_stems(english))
        if "{count}" in english[key] and "{count}" not in words.get(key, "")
    ]


def empty_texts(language: str) -> list[str]:
    english = all_words(ENGLISH)
    return [
        key
        for key, text in all_words(language).items()
        if not text.strip() and english.get(key, "-").strip()
    ]


def stray_braces(language: str) -> list[str]:
    return [
        key
        for key, text in all_words(language).items()
        if re.search(r"[{}]", re.sub(r"\{\w+\}", "", text))
    ]


def changed_law(language: str) -> list[str]:
    english, words = all_words(ENGLISH), all_words(language)
    quoted = [key for key, text in english.items() if text.startswith(QUOTED_LAW)]
    assert quoted
    return [key for key in quoted if words.get(key) != english[key]]


def findings(check: Callable[[str], list[str]], languages: list[str]) -> dict[str, list[str]]:
    """Return the findings of a check by language, without languages that have none."""
    assert languages
    found = {language: check(language) for language in languages}
    return {language: keys for language, keys in found.items() if keys}


def test_languages_have_the_files_of_english() -> None:
    assert {
        language: files
        for language in TRANSLATIONS
        if (files := sorted(file.name for file in (WORDS / language).iterdir())) != word_files()
    } == {}


def test_languages_have_the_keys_of_english() -> None:
    assert word_files()
    assert {
        (language, file): {"missing": english - here, "unknown": here - english}
        for language in TRANSLATIONS
        for file in word_files()
        if (here := with_one_form(language, file)) != (english := with_one_form(ENGLISH, file))
    } == {}


def test_every_plural_has_its_fallback_form() -> None:
    assert findings(plural_form_missing, LANGUAGES) == {}


def test_texts_have_the_placeholders_of_english() -> None:
    assert findings(other_placeholders, TRANSLATIONS) == {}


def test_plurals_say_the_count_where_english_does() -> None:
    assert findings(plural_without_count, TRANSLATIONS) == {}


def test_no_text_is_empty_that_english_fills() -> None:
    assert findings(empty_texts, TRANSLATIONS) == {}


def test_every_brace_belongs_to_a_placeholder() -> None:
    assert findings(stray_braces, LANGUAGES) == {}


def test_most_texts_differ_from_english() -> None:
    english, alike = all_words(ENGLISH), {}
    for language in TRANSLATIONS:
        words = all_words(language)
        same = sorted(key for key, text in words.items() if english.get(key) == text)
        if len(same) > MOST_ALIKE * len(words):
            alike[language] = same
    assert alike == {}


def test_legal_warning_is_quoted_unchanged() -> None:
    assert findings(changed_law, TRANSLATIONS) == {}


def test_french_uses_no_break_spaces_before_signs() -> None:
    loose = re.compile(r"[^\u202f:/][;!?»]|[^\u202f\d:]:(?!/)|« |[ \u00a0][;:!?%]")
    texts = all_words("fr").items()
    assert [
        key
        for key, text in texts
        if not text.startswith(QUOTED_LAW) and loose.search(text.replace("\u00a0»", "\u202f»"))
    ] == []


def test_label_margins_claim_no_law() -> None:
    """The same texts stand beside assumed margins; the name of a rule names its law."""
    claims = re.compile(r"\blaw|legal|\bloi\b|légal|\blegge\b", re.IGNORECASE)
    margins = (
        "book.label_",
        "shelf.label_says",
        "shelf.label_reads",
        "table.label_lawful",
        "pour.warmth_",
        "evening.warmth_",
        "pour.pace_between",
        "book.rule_unsaid",
    )
    for language in LANGUAGES:
        texts = {k: v for k, v in all_words(language).items() if k.startswith(margins)}
        assert [key for key, text in texts.items() if claims.search(text)] == [], language
