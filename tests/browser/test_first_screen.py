"""Script size of the first screen, request origins, and console messages of all screens."""

from __future__ import annotations

from typing import Any

import brotli
import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.any_page import primary_action
from tests.browser.console_watch import origins, watched
from tests.browser.live_server import LiveServer
from tests.browser.visitor import Visitor
from tests.browser.waiting import LIMIT_S, wait_for_idle, wait_until
from tests.screenshots.books import hold, served
from tests.screenshots.screens import MAIN_SCREENS, screens
from webapp import spec

pytestmark = pytest.mark.browser
# Compressed size of all scripts loaded until the first screen is idle: its own code (60 kB, see
# tests/client/test_bundle.py), the wine styles and the sync loop.
SCRIPT_BYTES = 84_800
LOADED = """() => performance.getEntriesByType('resource').map((one) => ({
  path: new URL(one.name).pathname, bytes: one.encodedBodySize, plain: one.decodedBodySize,
}))"""
# Notes at each new number format whether the quick note was there. The first one blocks a page for
# 15 ms on the machine of this project, and for 60 ms on a processor slowed four times.
FORMATS = """() => {
  globalThis.formats = [];
  Intl.NumberFormat = new Proxy(Intl.NumberFormat, {
    construct(target, given) {
      globalThis.formats.push(document.querySelector('.quick-words') !== null);
      return new target(...given);
    },
  });
}"""


def test_quick_note_appears_before_the_number_format(page: Page) -> None:
    page.add_init_script(f"({FORMATS})()")
    page.goto("/")
    formats = "() => globalThis.formats"
    wait_until(page, lambda: page.evaluate(formats), "the first number format")
    assert all(page.evaluate(formats))


def test_first_screen_script_size_is_limited(browser: Browser, live_server: LiveServer) -> None:
    # Without a service worker, which would also load the other screens.
    context = browser.new_context(base_url=live_server.url, service_workers="block")
    page = context.new_page()
    with page.expect_response("**/api/sync", timeout=LIMIT_S * 1000):
        page.goto("/")
    expect(primary_action(page)).to_be_visible()
    wait_for_idle(page)
    loaded: list[dict[str, Any]] = page.evaluate(LOADED)
    context.close()
    # Compressed here, because the servers of the tests compress less than those in use.
    scripts = {
        one["path"]: len(brotli.compress((spec.static_root() / one["path"][1:]).read_bytes()))
        for one in loaded
        if one["path"].endswith(".js")
    }
    assert "/packed/first.js" in scripts
    assert all(
        0 < one["bytes"] < one["plain"]
        for one in loaded
        if one["plain"] > 2000 and one["path"].endswith((".js", ".json", ".css"))
    )
    largest = sorted(scripts.items(), key=lambda item: -item[1])[:12]
    assert sum(scripts.values()) <= SCRIPT_BYTES, largest


@pytest.mark.parametrize(
    ("book", "names"),
    [
        ("empty", MAIN_SCREENS),
        pytest.param("empty", None, marks=pytest.mark.extended),
        pytest.param("demo", None, marks=pytest.mark.extended),
    ],
    ids=["screens", "empty", "demo"],
)
def test_screens_log_no_error_and_call_no_other_server(
    browser: Browser, book: str, names: tuple[str, ...] | None
) -> None:
    with served(book) as server:
        context = browser.new_context(base_url=server.url, locale="en-GB")
        visitor = Visitor(context)
        page = visitor.page
        result, requests = watched(page)
        hold(page)
        for screen in screens():
            if book in screen.books and (names is None or screen.name in names):
                visitor.go_to(screen)
                visitor.leave(screen)
        page.evaluate("async () => { await navigator.serviceWorker.ready; }")
        context.close()
        assert origins(requests) == {server.url}
        assert result == []


def test_console_errors_are_detected(browser: Browser, live_server: LiveServer) -> None:
    context = browser.new_context(base_url=live_server.url)
    page = context.new_page()
    result, requests = watched(page)
    page.goto("/")
    page.evaluate("""() => {
      console.warn('a complaint');
      fetch('http://127.0.0.1:1/elsewhere').catch(() => undefined);
    }""")
    expect(page.locator("h1")).to_be_visible()
    context.close()
    assert requests
    assert any("a complaint" in line for line in result)
    assert any("Content Security Policy" in line for line in result)
