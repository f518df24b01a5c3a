"""Cells of the spreadsheet: texts stay texts, whatever they begin with."""

from __future__ import annotations

from typing import Any

import pytest

from webapp.archive.csv import cell


@pytest.mark.parametrize("text", ["=1", "+1", "-1", "@x", "\tx", "\rx", "\nx", "\uff1d1"])
def test_csv_cells_that_start_a_formula_are_escaped(text: str) -> None:
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
def test_csv_text_cannot_inject_a_cell_with_a_formula(text: str, shown: str) -> None:
    assert cell(text) == shown


@pytest.mark.parametrize(
    ("value", "text"),
    [(None, ""), (True, "yes"), (-3, -3), (["a", "~b c"], "a ~b c"), (["=1"], "'=1")],
)
def test_csv_other_values_are_unchanged(value: Any, text: Any) -> None:
    assert cell(value) == text
