"""Helpers for tests of the Shelf screen."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Locator, Page, expect

from tests.browser.any_page import items
from tests.browser.engines import tap
from tests.browser.waiting import wait_until

PALATE_IS_HERE = """async () =>
  (await import('/store/palate_cache.js')).palate.value !== null"""
SMALL = """() => [...document.querySelectorAll(
  'main button, main a, main summary, main input:not(.unseen)')].filter((one) => {
  const box = one.getBoundingClientRect();
  return box.height > 0 && (box.height < 47.5 || box.width < 47.5);
}).map((one) => one.outerHTML.slice(0, 90))"""
TOO_WIDE = "() => document.documentElement.scrollWidth - innerWidth"


def open_shelf(page: Page) -> None:
    page.goto("/#/shelf")
    expect(page.get_by_role("heading", name="Shelf")).to_be_visible()


def wait_for_palate(page: Page) -> None:
    """Wait until the phone has the server's palate."""
    wait_until(page, lambda: page.evaluate(PALATE_IS_HERE), "the palate")


def add_bottle(page: Page, bottle: dict[str, Any]) -> None:
    """Enter one bottle: name, style, alcohol on the label, price."""
    sheet = page.get_by_role("dialog", name="Add a bottle")
    if not sheet.is_visible():
        tap(page.get_by_role("button", name="Add a bottle"))
    sheet.get_by_label("Name").fill(bottle["name"])
    if bottle.get("known"):
        tap(items(sheet, "Your bottles with this name").get_by_role("button").first)
    if bottle.get("letters"):
        tap(sheet.get_by_role("button", name="Style"))
        finder = page.get_by_role("dialog", name="Style")
        finder.get_by_role("searchbox").fill(bottle["letters"])
        tap(finder.locator("ul button").first)
    if bottle.get("abv") is not None:
        sheet.get_by_label("Alcohol on the label").fill(str(bottle["abv"]))
    sheet.get_by_label("Price").fill(str(bottle["price"]))


def finish_adding(page: Page, bottle: dict[str, Any]) -> None:
    """Close the form and wait for the row with the price, the last value that is saved."""
    tap(page.get_by_role("button", name="Done"))
    expect(row(page, bottle["name"])).to_contain_text(str(bottle["price"]))


def next_bottle(page: Page) -> None:
    tap(page.get_by_role("button", name="Next bottle"))
    expect(page.get_by_label("Name")).to_have_value("")
    expect(page.get_by_label("Name")).to_be_focused()
    expect(page.get_by_role("dialog").get_by_text("was added.")).to_be_visible()


def say_market(page: Page, letters: str) -> None:
    """Select the market; the form reuses it for every later bottle."""
    tap(page.get_by_role("dialog").locator("summary"))
    tap(page.get_by_role("button", name="Sold in"))
    finder = page.get_by_role("dialog", name="Sold in")
    finder.get_by_role("searchbox").fill(letters)
    tap(finder.locator("ul button").first)


def want_at_most(page: Page, abv: float) -> None:
    tap(page.get_by_role("button", name="Alcohol you want"))
    page.get_by_role("textbox", name="At most").fill(str(abv))
    tap(page.get_by_role("button", name="Show", exact=True))


def rows(page: Page) -> Locator:
    """Return the rows of the main list, without collapsed sections."""
    return page.get_by_role("list", name="Shelf", exact=True).get_by_role("article")


def names(page: Page) -> list[str]:
    found: list[str] = rows(page).evaluate_all("(rows) => rows.map((row) => row.ariaLabel)")
    return found


def row(page: Page, name: str) -> Locator:
    return page.get_by_role("article").filter(has_text=name)
