"""Taps, cold starts and memory of a small and a large notebook, in the same run."""

from __future__ import annotations

import argparse
import sys
import tempfile
from dataclasses import dataclass, field
from pathlib import Path
from statistics import median
from typing import Any

from playwright.sync_api import BrowserContext, Page, Playwright, sync_playwright

from tests.bench.client.baseline_page import Hello
from tests.bench.client.cold_start import REST_MS, cold_starts, last_look, written
from tests.bench.client.phone import KEPT, phone, slowed
from tests.bench.client.taps import IDLE, TAPS, WATCH, Tap, tap_to_paint
from tests.bench.local_server import local_server
from tests.browser.browser_paths import find_browser
from tests.browser.live_server import LiveServer
from tests.browser.seed_server import fill, invented_book
from tests.screenshots.books import hold

HERE = Path(__file__).parent
# The server has these; the rest is written to the phone's tables, which takes seconds.
SYNCED = 1000
MODELS = 100
MIDDLE = (180, 390)
ADDED = """() => {
  globalThis.added = 0;
  globalThis.watcher?.disconnect();
  globalThis.watcher = new MutationObserver((records) => {
    for (const node of records.flatMap((one) => [...one.addedNodes]))
      if (node instanceof Element) globalThis.added += 1 + node.querySelectorAll('*').length;
  });
  globalThis.watcher.observe(document.body, { childList: true, subtree: true });
}"""
# The page as a tree, because the policy of the page does not allow HTML to be parsed.
LOOK = """() => {
  const tree = (node) => node.nodeType === Node.TEXT_NODE ? node.data : [
    node.namespaceURI, node.localName, [...node.attributes].map(({ name, value }) => [name, value]),
    [...node.childNodes].filter((one) => one.nodeType !== Node.COMMENT_NODE).map(tree),
  ];
  return {
    sheets: [...document.styleSheets].flatMap((one) => (one.href ? [one.href] : [])),
    classes: document.documentElement.className,
    look: [...document.body.children].filter((one) => one.localName !== 'script').map(tree),
  };
}"""
READ = """async () => {
  const { searchIndex } = await import('/domain/search_index.js');
  while (searchIndex.value === null) await new Promise((done) => setTimeout(done, 20));
}"""


@dataclass
class Size:
    """What was measured with one size of the notebook."""

    tap_ms: dict[str, float] = field(default_factory=dict)
    first_ms: dict[str, float] = field(default_factory=dict)
    rows: dict[str, int] = field(default_factory=dict)
    bare_ms: dict[str, float] = field(default_factory=dict)
    drawn_ms: dict[str, float] = field(default_factory=dict)
    starts: dict[str, tuple[float, float]] = field(default_factory=dict)
    heap_mb: float = 0


def script(name: str) -> str:
    text = (HERE / name).read_text(encoding="utf-8")
    return text[text.index("async (") :]


def main() -> int:
    parser = argparse.ArgumentParser(
        prog="python -m tests.bench.client.growth", description=__doc__
    )
    parser.add_argument("--tastings", type=int, nargs="+", default=[1000, 50_000])
    parser.add_argument("--slower", type=int, default=4, help="times that the processor is slowed")
    parser.add_argument("--times", type=int, default=5, help="repeats of each start and tap")
    parser.add_argument("--no-starts", action="store_true", help="leave the cold starts out")
    given = parser.parse_args()
    browser = find_browser()
    sizes = {}
    with sync_playwright() as playwright:
        for count in given.tastings:
            sizes[count] = measured(playwright, browser, count, given)
    print_table(sizes)
    return 0


def measured(
    playwright: Playwright, browser: str | None, count: int, given: argparse.Namespace
) -> Size:
    size = Size()
    with tempfile.TemporaryDirectory() as folder, local_server(Hello) as hello:
        server = LiveServer(Path(folder)).start()
        disk = Path(folder) / "phone"
        try:
            fill(server.url, invented_book(SYNCED, bottles=SYNCED // 3))
            with phone(playwright, browser, disk, server.url) as context:
                grown(context, count)
            with phone(playwright, browser, disk, server.url) as context:
                in_use(context, size, given)
                last_look(context, hello)
        finally:
            server.kill()
        if given.no_starts:
            return size
        start = (playwright, browser, disk, server.url, hello, given.slower, given.times)
        size.starts["cold start, as it was left"] = cold_starts(*start)
        for name, rest_ms in (("a write", REST_MS), ("a write before closing", 0)):
            with phone(playwright, browser, disk, server.url) as context:
                written(context.new_page(), rest_ms)
            size.starts[f"cold start after {name}"] = cold_starts(*start)
    return size


def grown(context: BrowserContext, count: int) -> None:
    """Sync the first tastings to the phone and write the others to its tables."""
    page = context.new_page()
    hold(page)
    page.evaluate(KEPT)
    assert page.evaluate(script("grow.js"), {"tastings": count, "each": MODELS}) >= count


def in_use(context: BrowserContext, size: Size, given: argparse.Namespace) -> None:
    """Measure taps in an app that has been open for a while, then its memory."""
    page = context.new_page()
    page.add_init_script((HERE / "rows_read.js").read_text(encoding="utf-8"))
    page.goto("/#/book")
    page.evaluate(READ)
    slowed(page, given.slower)
    bare = slowed(context.new_page(), given.slower)
    drawn = slowed(context.new_page(), given.slower)
    # A page of the same server without the app, so that its style sheets may be used.
    drawn.goto("/manifest.webmanifest")
    for tap in TAPS:
        page.bring_to_front()
        tap_to_paint(page, tap, 1)
        elements, size.rows[tap.name], looks = changes(page, tap)
        taken: list[tuple[float, float, float, float]] = []
        # In turn, because the speed of a shared machine changes within seconds.
        for _ in range(given.times):
            page.bring_to_front()
            app_ms = tap_to_paint(page, tap, 1)
            bare.bring_to_front()
            bare_ms = bare_swap(bare, elements)
            drawn.bring_to_front()
            taken.append((*app_ms, bare_ms, drawn_swap(drawn, looks, tap)))
        each = [median(column) for column in zip(*taken, strict=True)]
        size.first_ms[tap.name], size.tap_ms[tap.name], *floors = each
        size.bare_ms[tap.name], size.drawn_ms[tap.name] = floors
    session = context.new_cdp_session(page)
    session.send("HeapProfiler.collectGarbage")
    size.heap_mb = session.send("Runtime.getHeapUsage")["usedSize"] / 1e6


def changes(page: Page, tap: Tap) -> tuple[int, int, dict[str, Any]]:
    """Return how many elements a tap adds and rows it reads, and the page before and after."""
    page.evaluate("(hash) => { location.hash = hash; }", tap.hash)
    page.locator(tap.target).first.wait_for()
    page.wait_for_timeout(1000)
    page.evaluate(IDLE)
    page.evaluate(WATCH, tap.watched)
    page.evaluate(ADDED)
    before: int = page.evaluate("() => globalThis.rowsRead")
    look = page.evaluate(LOOK)
    page.locator(tap.target).first.tap()
    page.evaluate("() => globalThis.tapped")
    looks = {**look, "before": look["look"], "after": page.evaluate(LOOK)["look"]}
    elements: int = page.evaluate("() => globalThis.added")
    page.wait_for_timeout(1000)
    page.evaluate(IDLE)
    rows: int = page.evaluate("() => globalThis.rowsRead")
    page.keyboard.press("Escape")
    if tap.undo:
        page.locator(tap.undo).first.tap()
        page.wait_for_timeout(1000)
    return elements, rows - before, looks


def bare_swap(page: Page, elements: int) -> float:
    """Return the ms of a bare page to replace as many elements as the app did."""
    page.evaluate(script("bare_swap.js"), {"elements": elements})
    page.wait_for_timeout(200)
    page.evaluate(WATCH, ["div span"])
    page.locator("button").tap()
    return float(page.evaluate("async () => (await globalThis.tapped)[0]"))


def drawn_swap(page: Page, looks: dict[str, Any], tap: Tap) -> float:
    """Return the ms to draw what the tap changed, with the app's styles but not its code."""
    page.evaluate(script("drawn_swap.js"), looks)
    page.wait_for_timeout(600)
    page.evaluate(WATCH, [tap.answer])
    page.touchscreen.tap(*MIDDLE)
    return float(page.evaluate("async () => (await globalThis.tapped)[0]"))


def print_table(sizes: dict[int, Size]) -> None:
    first, last = next(iter(sizes.values())), [*sizes.values()][-1]
    print(f"{'ms':<34}" + "".join(f"{count:>9,}" for count in sizes), end="")
    print(
        f"{'ratio':>8}{'bare':>8}{'ratio':>8}{'drawn':>8}{'ratio':>8}{'first':>8}{'ratio':>8}",
        end="",
    )
    print(f"{'rows read':>18}")
    for tap in first.tap_ms:
        taken = [size.tap_ms[tap] for size in sizes.values()]
        bare = last.bare_ms[tap]
        print(f"tap: {tap:<29}" + "".join(f"{ms:9.0f}" for ms in taken), end="")
        drawn = last.drawn_ms[tap]
        print(f"{taken[-1] / taken[0]:8.2f}{bare:8.0f}{taken[-1] / bare:8.2f}", end="")
        print(f"{drawn:8.0f}{taken[-1] / drawn:8.2f}", end="")
        piece = last.first_ms[tap]
        print(f"{piece:8.0f}{piece / drawn:8.2f}", end="")
        print("".join(f"{size.rows[tap]:9,}" for size in sizes.values()))
    for name in first.starts:
        taken = [size.starts[name][0] for size in sizes.values()]
        bare = last.starts[name][1]
        print(f"{name:<34}" + "".join(f"{ms:9.0f}" for ms in taken), end="")
        print(f"{taken[-1] / taken[0]:8.2f}{bare:8.0f}{taken[-1] / bare:8.2f}")
    print(f"{'heap in MB':<34}" + "".join(f"{size.heap_mb:9.1f}" for size in sizes.values()))


if __name__ == "__main__":
    sys.exit(main())
