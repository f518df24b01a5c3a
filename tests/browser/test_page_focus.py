"""Where the focus is, and what the window is called, after a change of page."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Locator, Page, Route, expect

from tests.browser.engines import tap
from tests.browser.pour_page import aroma_search, open_pour
from tests.browser.seeded_phones import Phones, phones
from tests.browser.waiting import wait_for_idle, wait_until

__all__ = ["phones"]
pytestmark = pytest.mark.browser
FOCUSED = "() => document.activeElement.localName"
OUTLINE = "(one) => getComputedStyle(one).outlineStyle"
ROWS = "a.list-row"


def title(page: Page) -> Locator:
    return page.get_by_role("heading", level=1)


def begins(page: Page, name: str) -> None:
    """Expect a page of this name to have been drawn, and its heading to have the focus."""
    expect(title(page)).to_have_text(name)
    expect(title(page)).to_be_focused()
    expect(page).to_have_title(f"{name} \u2013 Second Nose")


def test_focus_follows_from_page_to_page(phones: Phones) -> None:
    page = phones.page("demo")
    page.goto("about:blank")
    page.goto("/#/book")
    row = page.locator(ROWS).nth(3)
    expect(row).to_be_visible()
    expect(page).to_have_title("Book \u2013 Second Nose")
    wait_for_idle(page)
    assert page.evaluate(FOCUSED) == "body"
    name = row.locator(".name").inner_text()
    address = row.get_attribute("href")
    tap(row)
    begins(page, name)
    assert title(page).evaluate(OUTLINE) == "none"
    tap(page.get_by_role("link", name="Back", exact=True))
    again = page.locator(f'{ROWS}[href="{address}"]')
    expect(again).to_be_focused()
    assert again.evaluate(OUTLINE) == "none"
    page.keyboard.press("Enter")
    begins(page, name)
    assert title(page).evaluate(OUTLINE) == "solid"
    page.go_back()
    expect(page.locator(f'{ROWS}[href="{address}"]')).to_be_focused()
    tap(page.get_by_role("link", name="Palate", exact=True))
    begins(page, "Palate")
    tap(page.get_by_role("link", name="Book", exact=True))
    begins(page, "Book")


def test_focus_is_never_taken_from_its_user(phones: Phones) -> None:
    page = phones.page("empty")
    thumb = open_pour(page)
    tap(page.get_by_role("link", name="Taste step by step"))
    begins(page, "Bottle")
    thumb.primary()
    begins(page, "Look")
    page.keyboard.press("Tab")
    page.evaluate("() => document.activeElement.blur()")
    page.evaluate("() => { document.querySelector('h1').firstChild.data = 'Drawn again'; }")
    expect(page).to_have_title("Drawn again \u2013 Second Nose")
    page.evaluate("() => new Promise((drawn) => requestAnimationFrame(() => setTimeout(drawn)))")
    assert page.evaluate(FOCUSED) == "body"
    thumb.step("Bottle")
    page.get_by_label("Name").first.focus()
    page.evaluate("() => { location.hash = '#/shelf'; }")
    begins(page, "Shelf")
    tap(page.get_by_role("button", name="Add a bottle"))
    expect(page.get_by_role("dialog").get_by_label("Name")).to_be_focused()


def test_focus_is_led_though_its_code_came_late(page: Page) -> None:
    held: list[Route] = []
    page.route("**/packed/sync.js", lambda route: held.append(route))
    open_pour(page)
    wait_until(page, lambda: held, "the request for the code")
    tap(page.get_by_role("link", name="Taste step by step"))
    expect(page).to_have_url(re.compile("/bottle$"))
    held[0].continue_()
    begins(page, "Bottle")


def test_focus_outlives_the_control_that_had_it(phones: Phones) -> None:
    page = phones.page("demo")
    page.goto("about:blank")
    page.goto("/#/shelf")
    skips = page.get_by_role("button", name="Skip")
    expect(skips.nth(2)).to_be_visible()
    wait_for_idle(page)
    opens = page.locator(".picks .pick-open")
    gone, following = opens.nth(1).inner_text(), opens.nth(2).inner_text()
    skips.nth(1).press("Enter")
    expect(opens.filter(has_text=following.split("\n")[0]).first).to_be_focused()
    # The keys work from when the toast has its place: what listens for them is loaded with it.
    expect(page.locator("html")).to_have_attribute("style", re.compile("--toast-top"))
    page.keyboard.press("Control+z")
    expect(opens.filter(has_text=gone.split("\n")[0]).first).to_be_focused()
    thumb = open_pour(page)
    liking = page.get_by_role("slider", name="How much do you like it?")
    liking.press("End")
    page.get_by_role("button", name="Clear How much do you like it?").press("Enter")
    expect(liking).to_be_focused()
    thumb.step("First nose")
    aroma_search(page).press_sequentially("clove")
    told = page.locator(".aromas p.unseen[role=status]")
    expect(told).to_have_text("1 aroma found")
    page.get_by_role("group", name="Aromas found").get_by_role("button").first.press("Enter")
    expect(told).to_have_text("clove, noted")
    expect(aroma_search(page)).to_be_focused()
