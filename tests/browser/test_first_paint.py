"""The start of the app: splash screen, snapshot of the Book screen, then the live screen."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.browser.book_page import SYNCED, filled_book, lines, wait_for_snapshot
from tests.browser.conftest import PHONE
from tests.browser.live_server import LiveServer
from tests.browser.seed_records import put
from tests.browser.waiting import wait_for_idle, wait_until

pytestmark = pytest.mark.browser
SETTINGS = "00000000-0000-7000-8000-000000000001"
APP = "**/packed/first.js"
SEEN = "() => localStorage.getItem('secondnose.seen')"
PUT = "(seen) => localStorage.setItem('secondnose.seen', seen)"


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[LiveServer]:
    running = LiveServer(tmp_path_factory.mktemp("demo")).start("--demo")
    yield running
    running.kill()


@pytest.fixture
def context(browser: Browser, demo: LiveServer) -> Iterator[BrowserContext]:
    """Open a phone without a service worker, so that tests can block the app script."""
    with browser.new_context(base_url=demo.url, service_workers="block", **PHONE) as opened:
        yield opened


@pytest.fixture
def page(context: BrowserContext) -> Page:
    return context.new_page()


@pytest.fixture
def seen(page: Page) -> Page:
    """Open the Book screen and wait until its snapshot is saved."""
    filled_book(page)
    wait_for_snapshot(page)
    return page


def without_the_app(page: Page, address: str = "/#/book") -> Page:
    """Open the page without the app script."""
    other = page.context.new_page()
    other.route(APP, lambda route: route.abort())
    other.goto(address)
    return other


def test_splash_shows_the_name_until_the_store_is_open(page: Page) -> None:
    cover = without_the_app(page, "/#/pour")
    expect(cover.get_by_text("Second Nose", exact=True)).to_be_visible()
    page.goto("/#/pour")
    expect(page.locator(".quick-words")).to_be_visible()
    expect(page.locator(".title-page")).to_have_count(0)


def test_snapshot_is_painted_before_the_store_is_open(seen: Page) -> None:
    names = lines(seen).locator(".name").all_inner_texts()
    on_screen = lines(seen).evaluate_all(
        "(rows) => rows.filter((row) => row.getBoundingClientRect().top < innerHeight).length"
    )
    early = without_the_app(seen)
    expect(lines(early).first).to_be_visible()
    there = lines(early).locator(".name").all_inner_texts()
    assert there == names[: len(there)]
    assert len(there) >= on_screen > 2
    expect(early.get_by_role("heading", name="Book", exact=True)).to_be_visible()
    assert lines(early).first.get_attribute("href") == lines(seen).first.get_attribute("href")
    # The snapshot shows no sync status, and its inputs are disabled.
    expect(early.locator(".state-words")).to_have_text("\u00a0")
    expect(early.get_by_role("searchbox")).not_to_be_editable()


def test_live_screen_replaces_the_snapshot(seen: Page) -> None:
    seen.reload()
    expect(seen.locator(".state-words")).to_have_text("all saved")
    expect(seen.get_by_role("main")).to_have_count(1)
    seen.get_by_role("searchbox").fill("zzyzx")
    expect(lines(seen)).to_have_count(0)


@pytest.mark.extended
def test_saving_drops_the_snapshot(seen: Page) -> None:
    other = seen.context.new_page()
    other.goto("/#/palate")
    expect(other.locator("#palate-targets")).to_be_visible()
    seen.close()
    put(other, "tasting", {"tasted_at": "2026-11-20T20:00:00+01:00", "liking": 7})
    assert other.evaluate(SEEN) is None
    expect(without_the_app(other).locator(".title-page")).to_be_visible()


@pytest.mark.extended
def test_snapshot_of_another_width_is_not_painted(seen: Page) -> None:
    wide = seen.context.new_page()
    wide.set_viewport_size({"width": 820, "height": 1180})
    wide.route(APP, lambda route: route.abort())
    wide.goto("/#/book")
    expect(wide.locator(".title-page")).to_be_visible()


def test_chosen_theme_applies_from_the_first_paint(page: Page) -> None:
    page.goto("/#/settings")
    expect(page.locator("html")).to_have_attribute("data-light", "auto")
    put(page, "settings", {"light": "night"}, SETTINGS)
    page.reload()
    expect(page.locator("html")).to_have_attribute("data-light", "night")
    expect(without_the_app(page).locator("html")).to_have_attribute("data-light", "night")
    put(page, "settings", {"light": None}, SETTINGS)


@pytest.mark.parametrize(
    "leaf",
    [
        ["script", {}, ["document.title = 'taken over'"]],
        ["img", {"src": "x", "onerror": "document.title = 'taken over'"}, []],
        ["a", {"href": "javascript:document.title = 'taken over'", "onclick": "x()"}, ["here"]],
        ["p", {"id": "page", "srcdoc": "x"}, ["<img src=x onerror=\"document.title=''\">"]],
    ],
)
def test_snapshot_restores_text_and_plain_elements_only(page: Page, leaf: list[Any]) -> None:
    # No app script runs here that could overwrite the snapshot.
    before = without_the_app(page, "/#/pour")
    before.evaluate(PUT, json.dumps(["en", PHONE["viewport"]["width"], [leaf]]))
    early = without_the_app(page)
    expect(early.locator(".title-page")).to_have_count(0)
    assert early.title() == "Second Nose"
    made = early.locator("#app *")
    assert made.evaluate_all("(all) => all.map((one) => one.localName)") in (["span"], ["a"], ["p"])
    kept = made.evaluate_all("(all) => all.flatMap((one) => one.getAttributeNames())")
    assert kept == []


@pytest.mark.parametrize(
    "kept",
    [
        "not JSON",
        *(
            pytest.param(kept, marks=pytest.mark.extended)
            for kept in ("", "[]", "{}", '["en", 360]', '["en", 360, [7]]')
        ),
    ],
)
def test_damaged_snapshot_shows_the_splash_and_opens(page: Page, kept: str) -> None:
    page.goto("/#/settings")
    page.evaluate(SYNCED)
    page.evaluate(PUT, kept)
    page.goto("about:blank")
    filled_book(page)
    assert page.title().endswith("Second Nose")


# Records the text of every list row, even if shown for a single frame.
LISTEN = """() => {
  globalThis.texts = new Set();
  new MutationObserver(() => {
    for (const row of document.querySelectorAll('a.list-row')) texts.add(row.innerText);
  }).observe(document, { childList: true, subtree: true, characterData: true });
}"""
TASTINGS = "async () => (await import('/store/database.js')).db.tasting.toArray().then(() => true)"


def test_rows_are_rendered_after_the_messages_load(seen: Page) -> None:
    # The first row shows a name from the message files.
    put(seen, "tasting", {"tasted_at": "2026-11-25T20:00:00+01:00", "liking": 7})
    expect(lines(seen).first).to_contain_text("Unnamed wine")
    # Leave the list, because an open list would save its snapshot again.
    seen.goto("about:blank")
    other = seen.context.new_page()
    other.add_init_script("localStorage.removeItem('secondnose.seen')")
    other.add_init_script(f"({LISTEN})()")
    late: list[Any] = []
    other.route("**/words/*.json", lambda route: late.append(route))
    other.goto("/#/book")
    wait_until(other, lambda: late, "the request for the words")
    # This read runs after all reads that the list has started.
    other.evaluate(TASTINGS)
    wait_for_idle(other)
    expect(lines(other)).to_have_count(0)
    for route in late:
        route.continue_()
    expect(lines(other).first).to_be_visible()
    # All tastings are loaded.
    expect(other.get_by_role("main").get_by_text(re.compile(r"^\d+ notes$"))).to_be_visible()
    result = other.evaluate("() => [...texts]")
    assert result
    # A missing message would be shown as its key.
    assert [row for row in result if re.search(r"\b[a-z_]+\.[a-z_]{3,}", row)] == []
