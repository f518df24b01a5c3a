"""All screens of the app and their main states, and how to open each."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from playwright.sync_api import Page, expect

from tests.browser.seed_server import Record, demo_records
from tests.browser.table_page import id_of, open_tasted

STEPS = ("bottle", "look", "first-nose", "second-nose", "sips", "whole", "verdict")
# The screens of the main navigation.
MAIN_SCREENS = ("pour", "book", "shelf", "palate", "table", "settings")
# Long, because a loaded machine renders slowly.
WAIT_MS = 30_000
EVERY_BOOK = ("empty", "ten", "demo", "ten_thousand")
A_FLIGHT = 3


def nothing_more(page: Page) -> None:
    """Leave the screen as it opens."""


@dataclass(frozen=True)
class Screen:
    """One screen: name, address, action after opening, data sets and number of open dialogs."""

    name: str
    hash: str
    press: Callable[[Page], None] = nothing_more
    books: tuple[str, ...] = EVERY_BOOK
    leaves: int = 0

    @property
    def is_leaf(self) -> bool:
        return self.leaves > 0

    @property
    def main_screen(self) -> str:
        return self.hash.split("/")[1].split("?")[0]

    @property
    def is_touched(self) -> bool:
        """Return whether the action may leave state behind that the next screen shows."""
        return self.press not in (nothing_more, signs_read, no_camera)

    def open(self, page: Page) -> None:
        """Start the app at this address, so that no state of the previous screen is left."""
        page.goto("about:blank")
        page.goto(f"/{self.hash}")
        self.complete(page)

    def complete(self, page: Page) -> None:
        """Wait for the page, run the action, and wait for its dialogs."""
        expect(page.locator("#page > *").nth(1)).to_be_attached(timeout=WAIT_MS)
        page.evaluate("() => document.fonts.ready")
        self.press(page)
        expect(page.locator("dialog[open]")).to_have_count(self.leaves, timeout=WAIT_MS)


def opens(selector: str) -> Callable[[Page], None]:
    """Return an action that clicks the first match."""
    return lambda page: page.locator(selector).first.click()


def opens_page(selector: str) -> Callable[[Page], None]:
    """Return an action that clicks the first match and waits for the page that it leads to."""

    def follow(page: Page) -> None:
        before = page.url
        page.locator(selector).first.click()
        expect(page).not_to_have_url(before)
        expect(page.locator("#page > *").nth(1)).to_be_attached(timeout=WAIT_MS)

    return follow


def typed(selector: str, words: str) -> Callable[[Page], None]:
    return lambda page: page.locator(selector).first.fill(words)


def fullest_tasting() -> Record:
    """Return the example tasting with the most fields."""
    return max(demo_records("tasting"), key=lambda record: len(record["fields"]))


def longest_visit() -> tuple[list[str], str]:
    """Return the tastings of the example visit with the most tastings, and the visit."""
    of_visit: dict[str, list[str]] = {}
    for record in demo_records("tasting"):
        if record["fields"].get("visit"):
            of_visit.setdefault(record["fields"]["visit"], []).append(record["id"])
    visit = max(of_visit, key=lambda each: len(of_visit[each]))
    return of_visit[visit], visit


def screens() -> list[Screen]:
    """Return all screens in the order of the main navigation."""
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
        Screen("tasting", f"#/book/{tasting}", books=only_demo),
        Screen("tasting unfolded", f"#/book/{tasting}", all_unfolded, only_demo),
        Screen("tasting gone", "#/book/01900000-0000-7000-8000-00000000dead", books=only_demo),
        Screen("bottle", f"#/book/bottle/{bottle}", books=only_demo),
        Screen("book side by side", f"#/book/side/{'/'.join(three)}", books=only_demo),
        Screen("book looking back", "#/book/back"),
        Screen("book twins", "#/book/twins", books=only_demo),
        Screen("shelf", "#/shelf"),
        Screen("shelf add", "#/shelf", opens(".at-thumb button"), small, 1),
        Screen("shelf home", "#/shelf/home", books=small),
        Screen("shelf home years", "#/shelf/home", opens(".home-open"), only_demo, 1),
        Screen("shelf pick", "#/shelf", opens(".pick-open"), only_demo, 1),
        Screen("shelf order", "#/shelf", opens(".shelf-head button"), only_demo, 1),
        Screen("shelf list", "#/shelf", opens(".at-thumb .button:not(.primary)"), only_demo, 1),
        Screen("shelf at home", "#/shelf", opens(".fold:last-of-type summary"), only_demo),
        Screen("palate", "#/palate"),
        Screen("palate unfolded", "#/palate", palate_unfolded, only_demo),
        Screen("palate evidence", "#/palate", opens(".target-button"), only_demo, 1),
        Screen("table", "#/table", books=small),
        Screen("table set", "#/table", opens_page(".at-thumb button"), ("empty",)),
        Screen("table lesson", "#/table", opens_page("button.row"), only_demo),
        *[
            Screen(f"table {name}", "#/table", tasted_at(path), only_demo)
            for name, path in table_pages().items()
        ],
        Screen("table person", f"#/table/person/{someone()}", books=only_demo),
        Screen("table carry", f"#/table/person/{someone()}/carry", books=only_demo),
        Screen("table take", "#/table/person/take", no_camera, only_demo),
        Screen("settings", "#/settings"),
    ]


def someone() -> str:
    """Return the id of a person in the example."""
    found: str = demo_records("person")[0]["id"]
    return found


def table_pages() -> dict[str, str]:
    """Return the pages of a tasting at the table, by name."""
    return {
        "lead": "/lead",
        "pass": "/pass",
        "codes": "/codes",
        "talk": f"/talk/{id_of('glass', 1)}",
        "results": "/results",
        "settings": "/set",
    }


def tasted_at(path: str) -> Callable[[Page], None]:
    """Return an action that writes a tasting of five guests, and opens one of its pages."""

    def open_page(page: Page) -> None:
        open_tasted(page, path)
        expect(page.get_by_role("heading", level=1)).not_to_have_text("Table", timeout=WAIT_MS)

    return open_page


def back_to_the_note(page: Page) -> None:
    """Return to the quick note if the unfinished pour opened at a step."""
    expect(page.locator(".page-head .back, .quick-words").first).to_be_visible(timeout=WAIT_MS)
    if page.locator(".page-head .back").count():
        page.locator(".page-head .back").click()
        expect(page.locator(".quick-words")).to_be_visible()


def unfold(page: Page) -> None:
    """Open every fold of the page."""
    for fold in page.locator(".part-fold > summary").all():
        fold.click()


def all_unfolded(page: Page) -> None:
    # The evidence is the last fold to be rendered.
    expect(page.locator("#tasting-evidence")).to_be_attached(timeout=WAIT_MS)
    unfold(page)
    signs_read(page)


def palate_unfolded(page: Page) -> None:
    # Two folds of styles, what reveals most, and four of what the page rests on.
    expect(page.locator(".part-fold")).to_have_count(7, timeout=WAIT_MS)
    unfold(page)


def signs_read(page: Page) -> None:
    """Wait for the evidence, which loads after the note."""
    expect(page.locator(".evidence").last).to_be_visible(timeout=WAIT_MS)


def no_camera(page: Page) -> None:
    """Wait until the page knows that there is no camera."""
    expect(page.get_by_role("main").locator(".scan-window")).to_be_hidden(timeout=WAIT_MS)


def walk_to(step: str) -> Callable[[Page], None]:
    """Return an action that opens a step of the new pour by its link."""

    def walk(page: Page) -> None:
        knot = page.locator(".stepper a").nth(STEPS.index(step))
        knot.click()
        expect(knot).to_have_attribute("aria-current", "step", timeout=WAIT_MS)

    return walk
