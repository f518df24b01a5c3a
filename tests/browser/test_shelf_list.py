"""Import of a pasted list: valid rows are added, invalid rows are shown separately."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from playwright.sync_api import Browser, Page, expect

from tests.browser.blocked_sync import block_sync
from tests.browser.engines import SMALL_SCREEN, tap
from tests.browser.live_server import LiveServer
from tests.browser.shelf_page import SMALL, TOO_WIDE, names, open_shelf, row, rows, want_at_most

pytestmark = pytest.mark.browser

GERMAN = """Wein;Jahrgang;Rebsorte;Alkohol;Preis
Drei Kieselweg;2023;Riesling;12,5 % vol;11,90 €
Kleine Mauer;2022;Chianti;13,5 %;1.014,50 €
"Mauer ""Süd""; alte Reben";2021;Barolo;14,5;36
"""
INVALID = """name,alcohol,price
Pale Ledge,12.5,11
Impossible Ledge,125,9
,13,8
Late Ledge,thirteen,10
"""


@pytest.fixture(scope="module")
def page(server: LiveServer, browser: Browser) -> Iterator[Page]:
    context = browser.new_context(
        base_url=server.url,
        **SMALL_SCREEN,
        service_workers="block",
    )
    block_sync(context)
    yield context.new_page()
    context.close()


def paste(page: Page, text: str) -> None:
    open_shelf(page)
    page.reload()
    tap(page.get_by_role("button", name="Add a list"))
    page.get_by_role("textbox", name="Paste the list here").fill(text)


def test_german_list_with_decimal_commas_is_read(page):
    paste(page, GERMAN)
    expect(page.get_by_text("3 bottles to add")).to_be_visible()
    assert page.evaluate(TOO_WIDE) == 0
    tap(page.get_by_role("button", name="Add 3 bottles"))
    expect(rows(page)).to_have_count(3)
    expect(row(page, "Drei Kieselweg")).to_contain_text("€11.90 · 12.5% · ")
    expect(row(page, "Kleine Mauer")).to_contain_text("€1,014.50")
    expect(row(page, 'Mauer "Süd"; alte Reben')).to_contain_text("Barolo")
    tap(page.get_by_role("button", name="Undo"))
    expect(page.get_by_text("No bottles here yet.")).to_be_visible()


def test_valid_rows_are_imported_and_invalid_rows_kept(page):
    paste(page, INVALID)
    expect(page.get_by_text("3 bottles to add")).to_be_visible()
    expect(page.get_by_text("1 line we can’t add")).to_be_visible()
    expect(page.get_by_text("Name: This line has no name.")).to_be_visible()
    tap(page.get_by_role("button", name="Add 3 bottles"))
    box = page.get_by_role("textbox", name="Paste the list here")
    expect(box).to_have_value("name,alcohol,price\n,13,8")
    box.fill("name,alcohol,price\nPale Ledge,13,8")
    tap(page.get_by_role("button", name="Add 1 bottle"))
    expect(rows(page)).to_have_count(4)
    assert names(page).count("Pale Ledge") == 2


def test_unreadable_cells_are_stored_as_a_note(page):
    paste(
        page,
        "name,year,alcohol,price,stock\nQuiet Ledge,old,thirteen,ask,12 left\n"
        "Loud Ledge,NV,125,9,\n",
    )
    expect(page.get_by_text("2 bottles to add")).to_be_visible()
    expect(
        page.get_by_text(
            "Saved as a comment: stock: 12 left · Vintage: old · Alcohol: thirteen · Price: ask"
        )
    ).to_be_visible()
    expect(page.get_by_text("Saved as a comment: Alcohol: 125")).to_be_visible()
    tap(page.get_by_role("button", name="Add 2 bottles"))
    tap(row(page, "Loud Ledge NV").get_by_role("button").first)
    expect(page.get_by_role("dialog", name="Loud Ledge NV")).to_contain_text("Alcohol: 125")
    tap(page.get_by_role("button", name="Close"))
    tap(row(page, "Quiet Ledge").get_by_role("button").first)
    expect(page.get_by_role("dialog", name="Quiet Ledge")).to_contain_text("stock: 12 left")


def test_column_mapping_can_be_changed(page):
    paste(page, "Left Ledge\tRight Estate\t13\t9\n")
    page.get_by_role("combobox", name="Right Estate").select_option(label="Producer")
    page.get_by_role("combobox", name="9", exact=True).select_option(label="leave out")
    tap(page.get_by_role("button", name="Add 1 bottle"))
    expect(row(page, "Left Ledge")).to_contain_text("13%")
    assert page.evaluate(SMALL) == []


def test_lines_without_columns_are_read(page):
    paste(page, "Bright Ledge 2021 13.5% €14.90\n- Ripe Ledge 2020 16% 17\nPlain Ledge\n")
    expect(page.get_by_text("3 bottles to add")).to_be_visible()
    expect(page.get_by_text("What each column is")).to_be_hidden()
    tap(page.get_by_role("button", name="Add 3 bottles"))
    expect(row(page, "Bright Ledge 2021")).to_contain_text("€14.90 · 13.5%")
    want_at_most(page, 15)
    tap(page.get_by_role("button", name="Alcohol you want"))
    # Other tests of the file have put bottles on the same shelf.
    expect(
        page.get_by_text(re.compile("^[0-9]+ in range, 0 maybe outside, 1 outside$"))
    ).to_be_visible()
    tap(page.get_by_role("button", name="Show", exact=True))
    expect(row(page, "Plain Ledge")).to_contain_text("alcohol not entered")
    expect(row(page, "Plain Ledge")).not_to_contain_text("maybe outside")


def test_list_is_kept_when_its_sheet_closes(page):
    paste(page, "Quiet Ledge 2021 9 €\nLoud Ledge 2022 11 €")
    tap(page.get_by_role("button", name="Close"))
    tap(page.get_by_role("button", name="Add a list"))
    box = page.get_by_role("textbox", name="Paste the list here")
    expect(box).to_have_value("Quiet Ledge 2021 9 €\nLoud Ledge 2022 11 €")
    before = rows(page).count()
    page.get_by_role("button", name="Add 2 bottles").dblclick()
    expect(rows(page)).to_have_count(before + 2)
    # Beside the place of the double click, of which it would otherwise be a part.
    tap(page.get_by_role("button", name="Add a list"))
    expect(box).to_have_value("")


CELL = st.text(st.characters(blacklist_categories=("Cs", "Cc"), max_codepoint=0x2FFF), max_size=12)


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    table=st.lists(st.lists(CELL, min_size=3, max_size=3), min_size=2, max_size=6),
    delimiter=st.sampled_from(["\t", ";", "|", ","]),
)
def test_spreadsheet_clipboard_text_is_read(page, table, delimiter):
    """Parse output of Python's csv module, fully quoted, to the same cells, trimmed."""
    written = io.StringIO()
    csv.writer(written, delimiter=delimiter, quoting=csv.QUOTE_ALL).writerows(table)
    script = """async ([text, delimiter]) => {
      const { parseCsv } = await import('/features/shelf/import/csv.js');
      return parseCsv(text, delimiter).map((line) => line.cells);
    }"""
    read = page.evaluate(script, [written.getvalue(), delimiter])
    trimmed = [[cell.strip(JS_BLANKS) for cell in cells] for cells in table]
    assert read == [cells for cells in trimmed if any(cells)]


# Characters that String.prototype.trim removes (ECMA-262, white space, line terminators).
JS_BLANKS = "\t\n\v\f\r \u00a0\u1680\u2028\u2029\u202f\u205f\u3000\ufeff" + "".join(
    chr(point) for point in range(0x2000, 0x200B)
)
