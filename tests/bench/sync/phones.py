"""Ten thousand notes up and down in Chromium: the book's own loop, and bare tables beside it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Browser, Page

from tests.bench.sync.houses import Record
from tests.browser.book.conftest import BARE_PAGE, MODULES, OPEN

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
WATCH = """() => {
  globalThis.longTasks = [];
  new PerformanceObserver((list) => {
    for (const entry of list.getEntries()) longTasks.push(entry.duration);
  }).observe({ type: 'longtask' });
}"""
SYNC = """async () => {
  await book.countTastings();
  const start = performance.now();
  const end = await book.syncNow();
  if (end !== 'done') throw new Error(end);
  return performance.now() - start;
}"""
LEFT = "() => Promise.all([book.db.tasting.count(), book.db.outbox.count()])"


@dataclass(frozen=True)
class Taken:
    """Seconds of one sync, and the tasks of the page that lasted over 50 ms (their ms)."""

    seconds: float
    long_tasks_ms: list[float]


@contextmanager
def page_at(browser: Browser, url: str, slower: int) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 360, "height": 780}, service_workers="block")
    page = context.new_page()
    page.goto(url)
    if slower > 1:
        session = context.new_cdp_session(page)
        session.send("Emulation.setCPUThrottlingRate", {"rate": slower})
    yield page
    context.close()


def hold(page: Page, side: str, records: list[Record]) -> None:
    for start in range(0, len(records), LOT):
        page.evaluate(HOLD[side], records[start : start + LOT])


def book_sync(
    browser: Browser, url: str, unsent: list[Record], whole: int, slower: int = 1
) -> Taken:
    """One sync of a phone that holds `unsent` and nothing else; it then holds `whole` notes."""
    with page_at(browser, url + BARE_PAGE, 1) as page:
        page.evaluate(OPEN, MODULES.split())
        hold(page, "book", unsent)
        page.evaluate(WATCH)
        if slower > 1:
            session = page.context.new_cdp_session(page)
            session.send("Emulation.setCPUThrottlingRate", {"rate": slower})
        taken_ms = page.evaluate(SYNC)
        page.wait_for_timeout(100)
        assert page.evaluate(LEFT) == [whole, 0]
        return Taken(taken_ms / 1000, page.evaluate("() => longTasks"))


def floor_sync(browser: Browser, url: str, unsent: list[Record], whole: int) -> float:
    """Seconds of a bare push of `unsent`, or of a bare pull of `whole` where there are none."""
    with page_at(browser, url, 1) as page:
        page.evaluate(OPEN_FLOOR)
        hold(page, "floor", unsent)
        given = {"url": url, "what": "push" if unsent else "pull", "count": whole}
        script = (HERE / "client.js").read_text(encoding="utf-8")
        taken_ms: float = page.evaluate(script[script.index("async (") :], given)
        return taken_ms / 1000
