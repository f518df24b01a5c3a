"""Helpers for tests of the Book screen."""

from __future__ import annotations

from playwright.sync_api import Locator, Page, expect

from tests.browser.any_page import items
from tests.browser.waiting import wait_until

SYNC = "**/api/sync"
SYNCED = """async () => {
  const { syncNow } = await import('/sync/index.js');
  await syncNow();
}"""


def open_book(page: Page) -> None:
    page.goto("/#/book")
    expect(page.get_by_role("heading", name="Book", exact=True)).to_be_visible()


def filled_book(page: Page) -> None:
    """Open the Book screen and wait until the phone has synced."""
    open_book(page)
    page.evaluate(SYNCED)
    expect(lines(page).first).to_be_visible()


def filled_book_apart(page: Page) -> None:
    """Fill the Book, then block sync, so that other tests at the same server see no change."""
    filled_book(page)
    page.context.route(SYNC, lambda route: route.abort())


def wait_for_snapshot(page: Page) -> None:
    """Wait until the snapshot of the Book's first page is saved."""
    seen = "() => localStorage.getItem('secondnose.seen') !== null"
    wait_until(page, lambda: page.evaluate(seen), "the snapshot of the Book")


def lines(page: Page) -> Locator:
    return items(page, "Notes").get_by_role("link")


def search(page: Page, words: str) -> None:
    page.get_by_role("searchbox", name="Search your notes").fill(words)


def chip(page: Page, name: str) -> Locator:
    return page.get_by_role("group", name="Filter").get_by_role("button", name=name, exact=True)
