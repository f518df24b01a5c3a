"""Every screen of the book and its main states: how one gets there from anywhere."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from playwright.sync_api import Page, expect

from tests.browser.seed_server import Record, demo_records

STEPS = ("bottle", "look", "first-nose", "second-nose", "sips", "whole", "verdict")
# A busy machine is slow; a screen that comes late is still a screen.
WAIT_MS = 30_000
EVERY_BOOK = ("empty", "ten", "demo", "ten_thousand")
A_FLIGHT = 3


def nothing_more(page: Page) -> None:
    """The screen is shown as one arrives at it."""


@dataclass(frozen=True)
class Screen:
    """One screen: its name, its address, what is pressed there, and the books it is shown with."""

    name: str
    hash: str
    press: Callable[[Page], None] = nothing_more
    books: tuple[str, ...] = EVERY_BOOK
    leaves: int = 0

    @property
    def is_leaf(self) -> bool:
        return self.leaves > 0

    @property
    def room(self) -> str:
        return self.hash.split("/")[1].split("?")[0]

    @property
    def is_touched(self) -> bool:
        """Whether something is pressed or typed there, which the next screen may still show."""
        return self.press not in (nothing_more, signs_read)

    def open(self, page: Page) -> None:
        """Arrive as if the app were started here, so that nothing is left of the screen before."""
        page.goto("about:blank")
        page.goto(f"/{self.hash}")
        self.complete(page)

    def complete(self, page: Page) -> None:
        """Wait until the page stands, press what is to be pressed, and wait for its leaf."""
        expect(page.locator("#page > *").nth(1)).to_be_attached(timeout=WAIT_MS)
        page.evaluate("() => document.fonts.ready")
        self.press(page)
        expect(page.locator("dialog[open]")).to_have_count(self.leaves, timeout=WAIT_MS)


def opens(selector: str) -> Callable[[Page], None]:
    """Presses the first of these; a leaf opens."""
    return lambda page: page.locator(selector).first.click()


def typed(selector: str, words: str) -> Callable[[Page], None]:
    return lambda page: page.locator(selector).first.fill(words)


def fullest_tasting() -> Record:
    """The example's tasting that says most: every step of it is filled."""
    return max(demo_records("tasting"), key=lambda record: len(record["fields"]))


def longest_visit() -> tuple[list[str], str]:
    """The tastings of the example's visit that has most of them, and the visit."""
    of_visit: dict[str, list[str]] = {}
    for record in demo_records("tasting"):
        if record["fields"].get("visit"):
            of_visit.setdefault(record["fields"]["visit"], []).append(record["id"])
    visit = max(of_visit, key=lambda each: len(of_visit[each]))
    return of_visit[visit], visit


def screens() -> list[Screen]:
    """All of them, in the order in which the rooms stand."""
    full = fullest_tasting()
    tasting, bottle = full["id"], full["fields"]["bottle"]
    flight, visit = longest_visit()
    three = flight[:A_FLIGHT]
    only_demo, small = ("demo",), ("empty", "demo")
    return [
        Screen("pour", "#/pour", back_to_the_note),
        Screen("pour where", "#/pour", opens(".where-row"), only_demo, 1),
        Screen("pour style", "#/pour", opens(".style-and-strength button"), only_demo, 1),
        *[Screen(f"pour {step}, blank", "#/pour", walk_to(step), ("empty",)) for step in STEPS],
        *[Screen(f"pour {step}", f"#/pour/{tasting}/{step}", books=only_demo) for step in STEPS],
        Screen("pour evidence", f"#/pour/{tasting}/evidence", signs_read, only_demo),
        Screen("pour evening", "#/pour/evening", books=small),
        Screen("pour serving", "#/pour/serving", books=small),
        Screen("pour flight", "#/pour/flight", books=only_demo),
        Screen("pour triangle", "#/pour/triangle", books=only_demo),
        Screen("pour guesses", "#/pour/guesses", books=small),
        Screen("pour visit", f"#/pour/visit/{visit}", books=only_demo),
        Screen("pour side by side", f"#/pour/side?of={','.join(three)}", books=only_demo),
        Screen("pour mend", f"#/pour/{tasting}/note", books=only_demo),
        Screen("pour missing", "#/pour/01900000-0000-7000-8000-00000000dead", books=only_demo),
        Screen("book", "#/book"),
        Screen("book filters", "#/book", opens(".chips .choice"), only_demo, 1),
        Screen("book found", "#/book", typed(".book-search input", "ri"), ("demo", "ten_thousand")),
        Screen("book not found", "#/book", typed(".book-search input", "zzyzx"), only_demo),
        Screen("tasting", f"#/book/{tasting}", signs_read, only_demo),
        Screen("tasting gone", "#/book/01900000-0000-7000-8000-00000000dead", books=only_demo),
        Screen("bottle", f"#/book/bottle/{bottle}", books=only_demo),
        Screen("book side by side", f"#/book/side/{'/'.join(three)}", books=only_demo),
        Screen("book looking back", "#/book/back"),
        Screen("book twins", "#/book/twins", books=only_demo),
        Screen("shelf", "#/shelf"),
        Screen("shelf add", "#/shelf", opens(".at-thumb button"), small, 1),
        Screen("shelf pick", "#/shelf", opens(".pick-open"), only_demo, 1),
        Screen("shelf order", "#/shelf", opens(".shelf-head button"), only_demo, 1),
        Screen("shelf list", "#/shelf", opens(".at-thumb .button:not(.primary)"), only_demo, 1),
        Screen("shelf at home", "#/shelf", opens(".fold:last-of-type summary"), only_demo),
        Screen("palate", "#/palate"),
        Screen("palate evidence", "#/palate", opens(".target-button"), only_demo, 1),
        Screen("settings", "#/settings"),
    ]


def back_to_the_note(page: Page) -> None:
    """A pour that was left at one of its steps opens there again."""
    expect(page.locator(".page-head .back, .quick-words").first).to_be_visible(timeout=WAIT_MS)
    if page.locator(".page-head .back").count():
        page.locator(".page-head .back").click()
        expect(page.locator(".quick-words")).to_be_visible()


def signs_read(page: Page) -> None:
    """What the signs say is fetched after the notes themselves are shown."""
    expect(page.locator(".evidence").last).to_be_visible(timeout=WAIT_MS)


def walk_to(step: str) -> Callable[[Page], None]:
    """A step of the fresh pour, reached by its knot."""

    def walk(page: Page) -> None:
        knot = page.locator(".thread a").nth(STEPS.index(step))
        knot.click()
        expect(knot).to_have_attribute("aria-current", "step", timeout=WAIT_MS)

    return walk
