"""Push and pull of 10,000 notes in Chromium: the client's sync against plain tables."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import Browser, Page

from tests.bench.sync.servers import Record
from tests.browser.store.conftest import BARE_PAGE, MODULES, OPEN

HERE = Path(__file__).parent
LOT = 1_000
OPEN_FLOOR = """async () => {
  const { default: Dexie } = await import('/vendor/dexie.js');
  globalThis.floorBook = new Dexie('floor', { chromeTransactionDurability: 'relaxed' });
  floorBook.version(1).stores({ note: 'id', outbox: 'id' });
}"""
HOLD = {
    "floor": "async (rows) => { await floorBook.outbox.bulkPut(rows); }",
    "book": """async (rows) => {
      const unsent = { held: 0, errors: null, tries: 0, not_before_ms: 0 };
      await book.db.tasting.bulkPut(rows.map((row) => ({ ...row, gone: 0 })));
      await book.db.outbox.bulkPut(rows.map((row) => ({ ...row, ...unsent })));
    }""",
}
TASK = ("RunTask", "ThreadControllerImpl::RunTask")
SYNC = """async () => {
  await book.db.tasting.count();
  const start = performance.now();
  const end = await book.syncNow();
  if (end !== 'done') throw new Error(end);
  return performance.now() - start;
}"""
LEFT = "() => Promise.all([book.db.tasting.count(), book.db.outbox.count()])"


@contextmanager
def page_at(browser: Browser, url: str) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 360, "height": 780}, service_workers="block")
    page = context.new_page()
    page.goto(url)
    yield page
    context.close()


def hold(page: Page, side: str, records: list[Record]) -> None:
    for start in range(0, len(records), LOT):
        page.evaluate(HOLD[side], records[start : start + LOT])


def book_sync(browser: Browser, url: str, unsent: list[Record], whole: int) -> float:
    """Return seconds of a sync of a phone that has only `unsent`, and `whole` notes afterwards."""
    with page_at(browser, url + BARE_PAGE) as page:
        page.evaluate(OPEN, MODULES.split())
        hold(page, "book", unsent)
        taken_ms: float = page.evaluate(SYNC)
        assert page.evaluate(LEFT) == [whole, 0]
        return taken_ms / 1000


def tasks_of_a_sync(browser: Browser, url: str, unsent: list[Record]) -> list[float]:
    """Return processor milliseconds of every task of the page during such a sync.

    Processor time excludes waits for other processes. The lesser of processor and wall-clock time
    is taken, because some machines count processor time in ticks of 10 ms.
    """
    with page_at(browser, url + BARE_PAGE) as page:
        page.evaluate(OPEN, MODULES.split())
        hold(page, "book", unsent)
        browser.start_tracing(page=page, categories=["toplevel"])
        page.evaluate(SYNC)
        events = json.loads(browser.stop_tracing())["traceEvents"]
    named = [one for one in events if one.get("name") == "thread_name"]
    pages = {(e["pid"], e["tid"]) for e in named if e["args"]["name"] == "CrRendererMain"}
    return [
        min(one.get("tdur", 0), one["dur"]) / 1000
        for one in events
        if one["name"] in TASK and one["ph"] == "X" and (one["pid"], one["tid"]) in pages
    ]


def floor_sync(browser: Browser, url: str, unsent: list[Record], whole: int) -> float:
    """Return seconds of a baseline push of `unsent`, or of a pull of `whole` if it is empty."""
    with page_at(browser, url) as page:
        page.evaluate(OPEN_FLOOR)
        hold(page, "floor", unsent)
        given = {"url": url, "what": "push" if unsent else "pull", "count": whole}
        script = (HERE / "client.js").read_text(encoding="utf-8")
        taken_ms: float = page.evaluate(script[script.index("async (") :], given)
        return taken_ms / 1000
