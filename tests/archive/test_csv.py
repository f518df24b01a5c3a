"""Cells of the spreadsheet: texts stay texts, whatever they begin with."""

from __future__ import annotations

from typing import Any

import pytest

from webapp.archive.csv import cell


@pytest.mark.parametrize("text", ["=1", "+1", "-1", "@x", "\tx", "\rx", "\nx", "\uff1d1"])
def test_a_text_that_starts_a_formula_is_defused(text: str) -> None:
    """The characters of OWASP's page on CSV injection."""
    assert cell(text) == "'" + text


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("plum;=1", "plum;'=1"),
        ('a";@x', "a\";'@x"),
        ("a\t+1", "a\t'+1"),
        ("dry; soft", "dry; soft"),
    ],
)
def test_a_text_cannot_begin_a_formula_in_a_cell_of_its_own_making(text: str, shown: str) -> None:
    assert cell(text) == shown


@pytest.mark.parametrize(
    ("value", "text"),
    [(None, ""), (True, "yes"), (-3, -3), (["a", "~b c"], "a ~b c"), (["=1"], "'=1")],
)
def test_other_values_stay_what_they_are(value: Any, text: Any) -> None:
    assert cell(value) == text
