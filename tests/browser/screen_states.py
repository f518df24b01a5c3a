"""Screen states that need input, such as errors, previews and nested dialogs."""

from __future__ import annotations

from collections.abc import Callable

from playwright.sync_api import Page, expect

from tests.browser.table_page import GUESTS, WINES
from tests.screenshots.screens import WAIT_MS, Screen, back_to_the_note, opens, typed

# Text that the tests type.
TABLE_WORDS = (*WINES, *GUESTS, "Friday reds", "Greta")
TYPED = ("Ottersbrunn", "Zwillingshof", "Weingart", "abc", *TABLE_WORDS)
SHOP_LIST = "Ottersbrunn Riesling;12,5 %;14,90\nZwillingshof;99 %;8,00\nWeingart Barolo;14 %;abc"
Press = Callable[[Page], None]


def states_behind() -> list[Screen]:
    """Return the states, all with example data; most are reached by taps and typing."""
    add = in_turn(opens(".at-thumb button"), typed("dialog .name-input", "Riesling"))
    lists = in_turn(opens(".at-thumb .button:not(.primary)"), typed("dialog textarea", SHOP_LIST))
    return [
        Screen("serving a style", "#/pour/serving?style=frt_fino"),
        Screen("visit missing", "#/pour/visit/01900000-0000-7000-8000-00000000dead"),
        Screen("pour with a fault", "#/pour", in_turn(back_to_the_note, too_strong)),
        Screen("shelf add named", "#/shelf", add, leaves=1),
        Screen("shelf scan", "#/shelf", in_turn(add, scan), leaves=2),
        Screen("shelf list read", "#/shelf", lists, leaves=1),
        Screen("settings join", "#/settings/join/00000000000000000000"),
    ]


def in_turn(*steps: Press) -> Press:
    def press(page: Page) -> None:
        for step in steps:
            step(page)

    return press


def too_strong(page: Page) -> None:
    line = page.locator(".style-and-strength input").first
    line.fill("199")
    line.blur()
    expect(page.get_by_role("main").locator(".field-error")).to_be_visible()


def scan(page: Page) -> None:
    """Open the scanner and wait for its message that no camera is available."""
    page.locator(".scan-open").get_by_role("button").click()
    said = page.get_by_role("dialog").last.get_by_role("alert")
    expect(said).to_be_visible(timeout=WAIT_MS)
