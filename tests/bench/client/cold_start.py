"""Cold offline start to the first painted rows of the Book, against a minimal cached page."""

from __future__ import annotations

from pathlib import Path
from statistics import median

from playwright.sync_api import BrowserContext, Page, Playwright

from tests.bench.client.phone import KEPT, PAINTED, phone, slowed

NEWEST = 30
# All thirty newest rows are read, but only those near the viewport are rendered.
ROWS = f"""async () => {{
  const painted = {PAINTED};
  const there = () => document.querySelectorAll('a.list-row').length >= 8;
  while (!there()) await new Promise((done) => requestAnimationFrame(done));
  return painted();
}}"""
SAYS_HELLO = f"""async () => {{
  const painted = {PAINTED};
  while (!document.querySelector('p')) await new Promise((done) => requestAnimationFrame(done));
  return painted();
}}"""


SEEN = """async () => {
  while (!localStorage.getItem('secondnose.seen')) await new Promise((go) => setTimeout(go, 50));
}"""
# Rate the newest tasting, as the Pour screen does.
RATE = """async () => {
  const { db } = await import('/store/database.js');
  const { save } = await import('/store/write.js');
  const newest = await db.tasting.orderBy('fields.tasted_at').last();
  await save('tasting', newest.id, { liking: newest.fields.liking === 8 ? 7 : 8 });
}"""
# The app makes the snapshot again when it was idle for two seconds.
REST_MS = 5000


def last_look(context: BrowserContext, hello: str) -> None:
    """Leave the app on the Book, with a stored snapshot that no later write has invalidated.

    Then the page at `hello`, the bare one of the cold starts, is opened until its worker is ready.
    """
    page = context.new_page()
    page.goto("/#/pour")
    page.evaluate("() => localStorage.removeItem('secondnose.seen')")
    page.goto("about:blank")
    page.goto("/#/book")
    page.evaluate(SEEN)
    other = context.new_page()
    other.goto(hello)
    other.evaluate(KEPT)


def written(page: Page, rest_ms: int) -> None:
    """Save a rating on the Pour screen, and close the page so long after it."""
    page.goto("/#/pour")
    page.locator("nav.main-nav").wait_for()
    page.evaluate(RATE)
    page.wait_for_timeout(rest_ms)


def cold_starts(
    playwright: Playwright,
    browser: str | None,
    disk: Path,
    book: str,
    hello: str,
    slower: int,
    times: int,
) -> tuple[float, float]:
    """Return the median ms from navigation to paint of the app and of the baseline page."""
    found: dict[str, list[float]] = {book: [], hello: []}
    for _ in range(times):
        for url, script in ((book, ROWS), (hello, SAYS_HELLO)):
            with phone(playwright, browser, disk, url) as context:
                page = slowed(context.new_page(), slower)
                page.goto("/#/book", wait_until="commit")
                found[url].append(page.evaluate(script))
    return median(found[book]), median(found[hello])
