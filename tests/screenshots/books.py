"""Servers with empty, example or large data sets, and fully synced phones."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import Browser, BrowserContext, Page

from tests.browser.conftest import LiveServer
from tests.browser.seed_server import Record, fill, first_tastings, invented_book

TEN = 10
TEN_THOUSAND = 10_000
WHOLE = """async () => {
  const { syncNow } = await import('/sync/index.js');
  await syncNow();
  const { palate } = await import('/store/palate_cache.js');
  for (let tries = 0; palate.value === null && tries < 600; tries += 1) {
    await new Promise((go) => setTimeout(go, 100));
  }
  const { allOf } = await import('/store/queries.js');
  return (await allOf('tasting')).length;
}"""


@contextmanager
def served(book: str) -> Iterator[LiveServer]:
    """Start a separate server with the data "empty", "ten", "demo" or "ten_thousand"."""
    with tempfile.TemporaryDirectory() as folder:
        server = LiveServer(Path(folder)).start(*(["--demo"] if book == "demo" else []))
        try:
            if book == "ten":
                fill(server.url, [own(record) for record in first_tastings(TEN)])
            if book == "ten_thousand":
                fill(server.url, invented_book(TEN_THOUSAND))
            yield server
        finally:
            server.kill()


def own(record: Record) -> Record:
    """Return the record without its example marks, like a record of the owner."""
    parts = {
        name: {field: value for field, value in record[name].items() if field != "example"}
        for name in ("fields", "clocks")
    }
    return record | parts


def hold(page: Page) -> int:
    """Wait until all records and the palate are on the phone. Return the tasting count."""
    page.goto("/#/settings")
    result: int = page.evaluate(WHOLE)
    return result


@contextmanager
def phone_at(
    browser: Browser,
    server: LiveServer,
    scale: float = 1,
    locale: str = "en-GB",
    *,
    bypass_csp: bool = True,
) -> Iterator[BrowserContext]:
    """Open a phone without a service worker, so that the server delivers every file."""
    context = browser.new_context(
        base_url=server.url,
        device_scale_factor=scale,
        has_touch=True,
        locale=locale,
        timezone_id="Europe/Rome",
        service_workers="block",
        reduced_motion="reduce",
        bypass_csp=bypass_csp,
    )
    page = context.new_page()
    hold(page)
    page.close()
    yield context
    context.close()


@contextmanager
def phone_with(browser: Browser, book: str, scale: float = 1) -> Iterator[BrowserContext]:
    """Open a phone at a separate server with one of the data sets."""
    with served(book) as server, phone_at(browser, server, scale) as context:
        yield context
