"""Script size of the first screen, request origins, and console messages of all screens."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, ConsoleMessage, Page, Request, expect

from tests.browser.live_server import LiveServer
from tests.browser.visitor import Visitor
from tests.browser.waiting import LIMIT_S, wait_for_idle
from tests.screenshots.books import hold, served
from tests.screenshots.screens import screens

pytestmark = pytest.mark.browser
# Compressed size of all scripts loaded until the first screen is idle: its own code (60 kB, see
# tests/client/test_bundle.py), the wine styles and the sync loop.
SCRIPT_BYTES = 80_000
LOADED = """() => performance.getEntriesByType('resource').map((one) => ({
  path: new URL(one.name).pathname, bytes: one.encodedBodySize, plain: one.decodedBodySize,
}))"""


def test_first_screen_script_size_is_limited(browser: Browser, live_server: LiveServer) -> None:
    # Without a service worker, which would also load the other screens.
    context = browser.new_context(base_url=live_server.url, service_workers="block")
    page = context.new_page()
    with page.expect_response("**/api/sync", timeout=LIMIT_S * 1000):
        page.goto("/")
    expect(page.locator(".at-thumb .primary")).to_be_visible()
    wait_for_idle(page)
    loaded: list[dict[str, Any]] = page.evaluate(LOADED)
    context.close()
    scripts = {one["path"]: one["bytes"] for one in loaded if one["path"].endswith(".js")}
    assert "/packed/first.js" in scripts
    assert all(
        0 < one["bytes"] < one["plain"]
        for one in loaded
        if one["plain"] > 2000 and one["path"].endswith((".js", ".json", ".css"))
    )
    largest = sorted(scripts.items(), key=lambda item: -item[1])[:12]
    assert sum(scripts.values()) <= SCRIPT_BYTES, largest


def watched(page: Page) -> tuple[list[str], list[Request]]:
    """Record the later console errors and warnings, and the requests of the page."""
    items: list[str] = []
    requests: list[Request] = []

    def hear(message: ConsoleMessage) -> None:
        if message.type in ("error", "warning", "assert"):
            items.append(f"{message.type}: {message.text} ({message.location.get('url')})")

    page.on("console", hear)
    page.on("pageerror", lambda error: items.append(f"thrown: {error}"))
    page.context.on("request", lambda request: requests.append(request))
    return items, requests


@pytest.mark.parametrize("book", ["empty", "demo"])
def test_screens_log_no_error_and_call_no_other_server(browser: Browser, book: str) -> None:
    with served(book) as server:
        context = browser.new_context(base_url=server.url, locale="en-GB")
        visitor = Visitor(context)
        page = visitor.page
        result, requests = watched(page)
        hold(page)
        for screen in screens():
            if book in screen.books:
                visitor.go_to(screen)
                visitor.leave(screen)
        page.evaluate("async () => { await navigator.serviceWorker.ready; }")
        context.close()
        asked = {urlsplit(request.url)[:2] for request in requests}
        assert asked == {urlsplit(server.url)[:2]}
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
