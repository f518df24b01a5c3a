"""What a taster does in the Book, as the tests of it say it."""

from __future__ import annotations

from playwright.sync_api import Locator, Page, expect

SYNCED = """async () => {
  const { syncNow } = await import('/sync/index.js');
  await syncNow();
}"""


def open_book(page: Page) -> None:
    page.goto("/#/book")
    expect(page.get_by_role("heading", name="Book", exact=True)).to_be_visible()


def filled_book(page: Page) -> None:
    """Opens the book and waits until the phone holds what the server has."""
    open_book(page)
    page.evaluate(SYNCED)
    expect(lines(page).first).to_be_visible()


def lines(page: Page) -> Locator:
    return page.locator("a.ledger-row")


def search(page: Page, words: str) -> None:
    page.get_by_role("searchbox", name="Search your notes").fill(words)


def chip(page: Page, name: str) -> Locator:
    return page.locator(".chips").get_by_role("button", name=name, exact=True)
