"""Time from a tap to the paint of its result, for the most frequent taps."""

from __future__ import annotations

from dataclasses import dataclass
from statistics import median

from playwright.sync_api import Page

from tests.bench.client.phone import PAINTED

LIMIT_MS = 30_000
# Measures from the click event to the paint of a visible element, for each of the selectors.
WATCH = f"""(selectors) => {{
  const painted = {PAINTED};
  const clicked = new Promise((done) => {{
    addEventListener('click', done, {{ capture: true, once: true }});
  }});
  const shown = async (selector) => {{
    const start = (await clicked).timeStamp;
    const answers = () => [...document.querySelectorAll(selector)];
    while (!answers().some((one) => one.checkVisibility())) {{
      await new Promise((next) => requestAnimationFrame(next));
    }}
    return await painted() - start;
  }};
  globalThis.tapped = new Promise((done, failed) => {{
    setTimeout(() => failed(new Error(`${{selectors}} are not there`)), {LIMIT_MS});
    Promise.all(selectors.map(shown)).then(done, failed);
  }});
}}"""

IDLE = "() => new Promise((done) => requestIdleCallback(() => done(), { timeout: 10_000 }))"


@dataclass(frozen=True)
class Tap:
    """Tap on `target` at the route `hash`; `answer` becomes visible, and `undo` is tapped last.

    A page that is rendered in pieces shows `first` before, which fills the screen.
    """

    name: str
    hash: str
    target: str
    answer: str
    undo: str = ""
    first: str = ""

    @property
    def watched(self) -> tuple[str, str]:
        """Return the selectors of the first piece and of the last."""
        return (self.first or self.answer, self.answer)


def knot(place: int) -> str:
    """Return the selector of a step in the step navigation."""
    return f".stepper li:nth-child({place}) a"


LIKED = ".chips .choice:nth-of-type(2)"
TAPS = (
    Tap("Pour to Book", "#/pour", 'nav.main-nav a[href="#/book"]', ".book-search"),
    Tap("Book to Shelf", "#/book", 'nav.main-nav a[href="#/shelf"]', ".at-thumb button"),
    Tap(
        "Shelf to Palate",
        "#/shelf",
        'nav.main-nav a[href="#/palate"]',
        "#palate-targets",
        first=".palate-lead",
    ),
    Tap("Palate to Pour", "#/palate", 'nav.main-nav a[href="#/pour"]', ".quick-words"),
    Tap("open the styles", "#/pour", ".style-and-strength button", "dialog[open] ul button"),
    Tap("open a tasting", "#/book", "a.list-row", "details.part-fold", first=".tasting-verdict"),
    Tap("filter: liked", "#/book", LIKED, f'{LIKED}[aria-pressed="true"]', LIKED),
    Tap("add a bottle", "#/shelf", ".at-thumb button", "dialog[open] input"),
    Tap("another step", "#/pour", knot(3), f'{knot(3)}[aria-current="step"]', knot(1)),
)


def tap_to_paint(page: Page, tap: Tap, times: int) -> tuple[float, float]:
    """Return the median ms from a tap to the paint of the first piece and of the last.

    The modules were loaded before, as on a phone in use.
    """
    taken = []
    for _ in range(times):
        page.evaluate("(hash) => { location.hash = hash; }", tap.hash)
        page.locator(tap.target).first.wait_for()
        page.wait_for_timeout(600)
        page.evaluate(IDLE)
        page.evaluate(WATCH, tap.watched)
        page.locator(tap.target).first.tap()
        taken.append(page.evaluate("() => globalThis.tapped"))
        page.keyboard.press("Escape")
        if tap.undo:
            page.locator(tap.undo).first.tap()
            # The click follows the touch with a delay, so wait for its navigation.
            page.wait_for_timeout(1000)
    first, last = zip(*taken, strict=True)
    return median(first), median(last)
