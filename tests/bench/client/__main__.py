"""Client with 10,000 tastings on a throttled processor, against baselines of the same run."""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, Playwright, sync_playwright

from tests.bench.client.baseline_page import Hello
from tests.bench.client.cold_start import REST_MS, cold_starts, last_look, written
from tests.bench.client.phone import KEPT, phone, slowed
from tests.bench.client.taps import TAPS, tap_to_paint
from tests.bench.local_server import local_server
from tests.browser.browser_paths import find_browser
from tests.browser.live_server import LiveServer
from tests.browser.seed_server import fill, invented_book
from tests.screenshots.books import hold

HERE = Path(__file__).parent
FRAME_MS = 1000 / 60
ANSWER_MS = 100
LONG_MS = 50
READ = """async () => {
  const { searchIndex } = await import('/domain/search_index.js');
  while (searchIndex.value === null) await new Promise((done) => setTimeout(done, 20));
}"""


@dataclass(frozen=True)
class Line:
    """Row of the table: a measurement in ms against its baseline or limit."""

    name: str
    taken_ms: float
    floor_ms: float
    aim: float

    @property
    def ratio(self) -> float:
        return self.taken_ms / self.floor_ms

    def __str__(self) -> str:
        mark = "" if self.ratio <= self.aim else "  missed"
        return (
            f"{self.name:<38}{self.taken_ms:9.1f}{self.floor_ms:9.1f}"
            f"{self.ratio:8.2f}{self.aim:7.1f}{mark}"
        )


def script(name: str) -> str:
    text = (HERE / name).read_text(encoding="utf-8")
    return text[text.index("async (") :]


def main() -> int:
    """Print the table; return 1 if a target is missed."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.client", description=__doc__)
    parser.add_argument("--tastings", type=int, default=10_000)
    parser.add_argument("--slower", type=int, default=4, help="times that the processor is slowed")
    parser.add_argument("--times", type=int, default=5, help="repeats of each start and tap")
    given = parser.parse_args()
    missed = 0
    print(f"{'ms':<38}{'taken':>9}{'floor':>9}{'ratio':>8}{'aim':>7}")
    browser = find_browser()
    with sync_playwright() as playwright:
        for line in measured(playwright, browser, given):
            print(line, flush=True)
            missed += line.ratio > line.aim
    return int(missed > 0)


def measured(
    playwright: Playwright, browser: str | None, given: argparse.Namespace
) -> Iterator[Line]:
    with tempfile.TemporaryDirectory() as folder, local_server(Hello) as hello:
        server = LiveServer(Path(folder)).start()
        disk = Path(folder) / "phone"
        try:
            fill(server.url, invented_book(given.tastings, bottles=given.tastings // 3))
            with phone(playwright, browser, disk, server.url) as context:
                page = context.new_page()
                hold(page)
                page.evaluate(KEPT)
                yield from in_use(slowed(page, given.slower), given.times)
                page.close()
                last_look(context, hello)
        finally:
            # The server ends here, so that the rest is measured offline.
            server.kill()
        given_phone = (playwright, browser, disk, server.url, hello, given.slower, given.times)
        yield Line("cold offline start, newest painted", *cold_starts(*given_phone), 2)
        for name, rest_ms in (("a write", REST_MS), ("a write just before closing", 0)):
            with phone(playwright, browser, disk, server.url) as context:
                written(context.new_page(), rest_ms)
            yield Line(f"the same after {name}", *cold_starts(*given_phone), 2)


def in_use(page: Page, times: int) -> Iterator[Line]:
    """Measure the latencies of an app that has been open for a while."""
    for tap in TAPS:
        yield Line(f"tap: {tap.name}", tap_to_paint(page, tap, times)[1], ANSWER_MS, 1)
    page.goto("about:blank")
    page.goto("/#/book")
    page.evaluate(READ)
    page.wait_for_timeout(500)
    scrolled: dict[str, Any] = page.evaluate(script("scrolling.js"), {"screens": 40})
    yield Line("longest task while scrolling", scrolled["book"]["longest_ms"], LONG_MS, 1)
    yield Line(
        "frame while scrolling, bare page",
        scrolled["book"]["frame_ms"],
        scrolled["floor"]["frame_ms"],
        1.5,
    )
    page.evaluate(script("keystrokes.js"))
    typed: dict[str, Any] = page.evaluate(script("keystrokes.js"))
    yield Line("keystroke to paint, bare filter", typed["room_ms"], typed["bare_ms"], 1.5)
    scored: dict[str, Any] = page.evaluate(script("scoring.js"))
    yield Line("1,000 picks scored, one frame", scored["median_ms"], FRAME_MS, 1)


if __name__ == "__main__":
    sys.exit(main())
