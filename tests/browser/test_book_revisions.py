"""Earlier versions on the page of a tasting: those of its bottle too, and equal ones once."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.any_page import part
from tests.browser.book_page import SYNCED
from tests.browser.engines import PHONE, tap
from tests.browser.live_server import LiveServer
from tests.browser.seed_records import put

pytestmark = pytest.mark.browser

JOINED = """async () => {
  const { joined } = await import('/features/book/tasting/revisions.js');
  const at = (ms, value) => ({ field: 'place', value, clock: `${ms}-0000-aaaaaaaa` });
  const minute = 1790000040000;
  const { revisions, fresh } = joined([
    { revisions: [at(minute + 20, 'Bar'), at(minute + 10, 'Bar'), at(minute - 1, 'Bar')],
      fresh: true },
    { revisions: [at(minute + 15, 'Home')], fresh: false }]);
  return [revisions.map(({ value }) => value), fresh];
}"""


@pytest.fixture
def page(browser: Browser, live_server: LiveServer) -> Iterator[Page]:
    """Open the Book on a phone that syncs."""
    options = {**PHONE, "service_workers": "block"}
    with browser.new_context(base_url=live_server.url, **options) as opened:
        page = opened.new_page()
        page.goto("/#/book")
        expect(page.get_by_role("heading", name="Book", exact=True)).to_be_visible()
        yield page


def test_revisions_of_the_bottle_are_listed_too(page: Page) -> None:
    bottle = put(page, "bottle", {"name": "Chateau Fantasia", "label_abv": 9.25})
    at = "2026-11-28T21:30:00+00:00"
    tasting = put(page, "tasting", {"bottle": bottle, "tasted_at": at, "closed_at": at})
    page.evaluate(SYNCED)
    put(page, "bottle", {"label_abv": 9.75}, bottle)
    page.evaluate(SYNCED)
    page.goto(f"/#/book/{tasting}")
    page.mouse.wheel(0, 10_000)
    tap(page.get_by_role("button", name="Earlier versions"))
    expect(
        part(page, "Earlier versions").get_by_role("listitem").filter(has_text="9.25%")
    ).to_have_count(1)
    expect(page.get_by_role("heading", name="Earlier versions")).to_be_in_viewport()


def test_versions_are_offered_only_if_there_are_any(page: Page) -> None:
    at = "2026-11-28T21:30:00+00:00"
    tasting = put(page, "tasting", {"tasted_at": at, "closed_at": at})
    page.evaluate(SYNCED)
    with page.expect_response("**/revisions"):
        page.goto(f"/#/book/{tasting}")
        expect(page.get_by_role("button", name="Delete this note")).to_be_visible()
        page.mouse.wheel(0, 10_000)
    expect(page.get_by_text("Earlier versions")).to_have_count(0)
    page.context.set_offline(True)
    page.goto("/#/book")
    page.goto(f"/#/book/{tasting}")
    page.mouse.wheel(0, 10_000)
    expect(page.get_by_text("Earlier versions of this note are in your backup")).to_be_visible()


def test_equal_revisions_of_a_minute_are_listed_once(page: Page) -> None:
    assert page.evaluate(JOINED) == [["Bar", "Home", "Bar"], False]
