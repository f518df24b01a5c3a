"""Cold offline start to the newest thirty painted, against a bare cached page that says hello."""

from __future__ import annotations

from pathlib import Path
from statistics import median

from playwright.sync_api import Page, Playwright

from tests.bench.client.phone import PAINTED, phone, slowed

NEWEST = 30
# Of the newest thirty those that stand near the screen are in the page; all thirty have been read.
ROWS = f"""async () => {{
  const painted = {PAINTED};
  const there = () => document.querySelectorAll('a.ledger-row').length >= 8;
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


def last_look(page: Page) -> None:
    """The Book is the room that was left, as it stands there, and nothing was written since."""
    forget(page)
    page.goto("about:blank")
    page.goto("/#/book")
    page.evaluate(SEEN)


def forget(page: Page) -> None:
    """As any write to the book does, so that nothing is there to be painted ahead of it."""
    page.goto("/#/pour")
    page.evaluate("() => localStorage.removeItem('secondnose.seen')")


def cold_starts(
    playwright: Playwright,
    browser: str | None,
    disk: Path,
    book: str,
    hello: str,
    slower: int,
    times: int,
) -> tuple[float, float]:
    """Milliseconds from navigation to paint: the book's and hello's medians, each start its own."""
    found: dict[str, list[float]] = {book: [], hello: []}
    for _ in range(times):
        for url, script in ((book, ROWS), (hello, SAYS_HELLO)):
            with phone(playwright, browser, disk, url) as context:
                page = slowed(context.new_page(), slower)
                page.goto("/#/book", wait_until="commit")
                found[url].append(page.evaluate(script))
    return median(found[book]), median(found[hello])
