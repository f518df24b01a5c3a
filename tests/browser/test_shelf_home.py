"""Bottles at home: the years to drink them, the usual ones and the taster's own."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.blocked_sync import block_sync
from tests.browser.engines import tap
from tests.browser.live_server import LiveServer
from tests.browser.pour_page import name_line, written
from tests.browser.shelf_page import SMALL, TOO_WIDE
from tests.browser.test_shelf import PHONE, RECORDS

pytestmark = pytest.mark.browser

YEAR = date.today().year
SAVE = "async (edits) => (await import('/store/write.js')).saveMany(edits)"
DOUBLE_CLICK = """(one) => {
  for (const detail of [1, 2])
    one.dispatchEvent(new MouseEvent('click', { detail, bubbles: true }));
}"""
BOTTLES = {
    "Old Ledge": {"style": "wht_sauv_nz", "vintage": YEAR - 4},
    "Late Ledge": {"style": "wht_sauv_nz", "vintage": YEAR - 2},
    "Ripe Ledge": {"style": "red_barolo", "vintage": YEAR - 10},
    "Young Ledge": {"style": "red_barolo", "vintage": YEAR - 1},
    "Plain Ledge": {},
}


def records() -> list[dict]:
    """Return the bottles with one in stock of each, the least urgent first."""
    found = []
    for n, (name, fields) in enumerate(reversed(BOTTLES.items())):
        ids = [f"01900000-0000-7000-8000-0000000{kind}00{n}" for kind in ("0b", "05")]
        found.append({"kind": "bottle", "id": ids[0], "fields": {"name": name, **fields}})
        found.append({"kind": "stock", "id": ids[1], "fields": {"bottle": ids[0], "count": 1}})
    return found


@pytest.fixture
def home(server: LiveServer, browser: Browser) -> Iterator[Page]:
    """Open the bottles at home on a phone that does not sync."""
    context = browser.new_context(base_url=server.url, **PHONE)
    block_sync(context)
    page = context.new_page()
    page.goto("/#/shelf")
    page.evaluate(SAVE, records())
    tap(page.get_by_role("link", name="5 bottles at home"))
    expect(page.get_by_role("heading", name="At home", exact=True)).to_be_visible()
    yield page
    context.close()


def section(page: Page, title: str) -> Locator:
    return page.get_by_role("region", name=title, exact=True)


def entry(page: Page, name: str) -> Locator:
    return page.get_by_role("listitem").filter(has_text=name)


def test_bottles_at_home_are_sorted_by_urgency(home):
    kept = home.get_by_role("region").get_by_role("listitem")
    expect(kept).to_have_count(5)
    names = [text.splitlines()[0] for text in kept.all_inner_texts()]
    assert [re.sub(r" \d+$", "", name) for name in names] == list(BOTTLES)
    titles = home.get_by_role("region").get_by_role("heading", level=2).all_inner_texts()
    assert titles[0] == "Maybe past its best"
    assert titles[1:] == ["Drink soon", "Ready to drink", "Better to wait", "No years set"]
    expect(entry(home, "Late Ledge")).to_contain_text(f"{YEAR - 2}\u2013{YEAR}, usual for this")
    tap(home.get_by_role("link", name="Back"))
    expect(home.get_by_role("link", name="2 to drink soon")).to_be_visible()


def test_own_years_come_before_the_usual_ones(home):
    tap(entry(home, "Ripe Ledge").get_by_role("button").first)
    sheet = home.get_by_role("dialog", name="Ripe Ledge")
    expect(sheet).to_contain_text("a rule of thumb, with no study behind it")
    sheet.get_by_label("Drink by").fill(str(YEAR))
    tap(sheet.get_by_role("button", name="Close"))
    expect(section(home, "Drink soon").get_by_text("Ripe Ledge")).to_be_visible()
    expect(entry(home, "Ripe Ledge")).to_contain_text(f"{YEAR - 4}\u2013{YEAR}, set by you")


def test_reversed_years_are_an_error_and_not_saved(home):
    tap(entry(home, "Plain Ledge").get_by_role("button").first)
    sheet = home.get_by_role("dialog", name="Plain Ledge")
    sheet.get_by_label("Drink by").fill(str(YEAR + 2))
    sheet.get_by_label("Drink from").fill(str(YEAR + 3))
    expect(sheet.get_by_text("The first year is after the last one.")).to_be_visible()
    written(home)
    own = [row for row in home.evaluate(RECORDS, "stock") if row.get("drink_by")]
    assert [(row.get("drink_from"), row["drink_by"]) for row in own] == [(None, YEAR + 2)]
    sheet.get_by_label("Drink from").fill(str(YEAR + 1))
    expect(sheet.get_by_text("The first year is after the last one.")).to_have_count(0)
    tap(sheet.get_by_role("button", name="Close"))
    expect(section(home, "Better to wait").get_by_text("Plain Ledge")).to_be_visible()


def test_bottle_at_home_is_poured_once_and_undone(home):
    home.goto("/#/pour")
    name_line(home).fill("Half a note")
    written(home)
    home.goto("/#/shelf/home")
    taste = home.get_by_role("button", name="Taste: Ripe Ledge")
    taste.evaluate(DOUBLE_CLICK)
    home.wait_for_url("**/#/pour/**")
    assert sorted(row["count"] for row in home.evaluate(RECORDS, "stock")) == [0, 1, 1, 1, 1]
    assert len(home.evaluate(RECORDS, "tasting")) == 2
    tap(home.get_by_role("button", name="Undo"))
    expect(section(home, "Ready to drink").get_by_text("Ripe Ledge")).to_be_visible()
    home.go_back()
    # Nor can the note that is gone be edited after the phone's Back.
    expect(home.get_by_text("This note was deleted.")).to_be_visible()
    tap(home.get_by_role("navigation", name="Main menu").get_by_role("link", name="Pour"))
    # A name typed over the bottle's own would rename the bottle at home.
    expect(name_line(home)).to_have_value("Half a note")
    assert [row["count"] for row in home.evaluate(RECORDS, "stock")] == [1] * 5
    assert len(home.evaluate(RECORDS, "tasting")) == 1


@pytest.mark.extended
def test_home_page_fits_a_thumb(home):
    expect(home.get_by_role("button", name="Taste: ")).to_have_count(5)
    assert home.evaluate(SMALL) == []
    assert home.evaluate(TOO_WIDE) == 0
