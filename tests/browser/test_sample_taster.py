"""The taster of the sample notes and the owner: whose palate is shown, and what is marked."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.book_page import SYNCED, lines, open_book
from tests.browser.engines import PHONE, tap
from tests.browser.live_server import LiveServer
from tests.browser.seed_records import put
from tests.browser.shelf_page import row, rows

pytestmark = pytest.mark.browser

SHOW = """async () => {
  const { loadExample } = await import('/store/example.js');
  await loadExample();
}"""
LEARNED = """async () => {
  const { refreshPalate } = await import('/store/palate_cache.js');
  await refreshPalate();
}"""
TOP = """async () => {
  const { counts } = await import('/sync/status.js');
  return counts.value.notes;
}"""
OWN = "Cantina Immaginaria Rosso"


@pytest.fixture
def page(browser: Browser, live_server: LiveServer) -> Iterator[Page]:
    """Open a phone that syncs."""
    options = {**PHONE, "service_workers": "block"}
    with browser.new_context(base_url=live_server.url, **options) as opened:
        yield opened.new_page()


def show_samples(page: Page) -> None:
    page.goto("/#/settings")
    expect(page.get_by_role("button", name="Show sample notes")).to_be_visible()
    page.evaluate(SHOW)


def learn(page: Page) -> None:
    page.evaluate(SYNCED)
    page.evaluate(LEARNED)


def rate_own(page: Page) -> None:
    bottle = put(page, "bottle", {"name": OWN, "label_abv": 14})
    at = "2026-11-28T21:30:00+00:00"
    put(page, "tasting", {"bottle": bottle, "liking": 7, "tasted_at": at, "closed_at": at})


def test_palate_is_the_sample_tasters_until_a_rating(page: Page) -> None:
    show_samples(page)
    learn(page)
    page.goto("/#/palate")
    expect(page.get_by_text("made-up taster of the sample notes")).to_be_visible()
    expect(page.get_by_text("wines you rated")).to_have_count(0)
    rate_own(page)
    expect(page.get_by_text("Learning from the notes you have now")).to_be_visible()
    expect(page.get_by_role("heading", name="What you like in a wine")).to_have_count(0)
    learn(page)
    expect(page.get_by_text("rated one wine")).to_be_visible()
    tap(page.get_by_role("button", name="See the sample taster"))
    expect(page.get_by_text("made-up taster of the sample notes")).to_be_visible()
    expect(page.get_by_role("heading", name="What you like in a wine")).to_be_visible()
    tap(page.get_by_role("button", name="Back to mine"))
    expect(page.get_by_text("rated one wine")).to_be_visible()


def test_shelf_says_that_forecasts_are_the_samples(page: Page) -> None:
    show_samples(page)
    learn(page)
    page.goto("/#/shelf")
    expect(page.get_by_text("forecasts are for the made-up taster")).to_be_visible()
    first = rows(page).first
    expect(first.get_by_role("button").first).to_contain_text("sample")
    expect(rows(page).get_by_text("If you were the sample taster:").first).to_be_visible()
    bottle = put(page, "bottle", {"name": OWN, "label_abv": 12.5})
    put(page, "pick", {"bottle": bottle, "state": "open", "price": 9})
    own = row(page, OWN)
    expect(own.get_by_role("button").first).not_to_contain_text("sample")
    rate_own(page)
    expect(page.get_by_text("Learning from the notes you have now")).to_be_visible()
    expect(own.get_by_role("paragraph").first).to_contain_text("learning")


@pytest.mark.extended
def test_rows_of_the_book_mark_the_samples(page: Page) -> None:
    show_samples(page)
    rate_own(page)
    open_book(page)
    expect(page.get_by_text("The notes marked “sample” are by a made-up taster")).to_be_visible()
    own = lines(page).filter(has_text=OWN)
    expect(own).not_to_contain_text("sample")
    expect(lines(page).filter(has_text="sample").first).to_be_visible()


@pytest.mark.extended
def test_removed_samples_are_not_counted_as_unsent(page: Page) -> None:
    show_samples(page)
    page.evaluate(SYNCED)
    page.route("**/api/sync", lambda route: route.abort())
    open_book(page)
    tap(page.get_by_role("button", name="Start my own"))
    expect(page.get_by_text("Sample notes removed")).to_be_visible()
    expect(page.get_by_text("to back up")).to_have_count(0)
    assert page.evaluate(TOP) == 0
