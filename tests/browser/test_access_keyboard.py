"""Keyboard operation, forced colours and reduced motion."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.any_page import primary_action, toast
from tests.browser.seeded_phones import Phones, phones
from tests.browser.waiting import wait_for_idle

__all__ = ["phones"]
pytestmark = pytest.mark.browser
FOCUSED = """() => {
  const one = document.activeElement;
  const style = getComputedStyle(one);
  const drawn = style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2;
  const ruled = parseFloat(style.borderBottomWidth) >= 2;
  const atFoot = '.at-thumb, nav.main-nav, dialog';
  const feet = [...document.querySelectorAll('.at-thumb, nav.main-nav')];
  const foot = Math.min(...feet.map((each) => each.getBoundingClientRect().top));
  const box = one.getBoundingClientRect();
  // WCAG 2.2 SC 2.4.11: not entirely hidden by what the page lays over itself.
  return { what: one.outerHTML.slice(0, 120), seen: drawn || ruled,
    covered: !one.closest(atFoot) && box.top >= foot };
}"""
MOVING = """() => [...document.querySelectorAll('*')].filter((one) => {
  const style = getComputedStyle(one);
  const lasts = (times) => times.split(',').some((time) => parseFloat(time) > 0.01);
  return lasts(style.transitionDuration) || style.scrollBehavior === 'smooth'
    || (style.animationName !== 'none' && lasts(style.animationDuration));
}).map((one) => one.outerHTML.slice(0, 120))"""


def tab_to(page: Page, target: Locator, tries: int = 40) -> None:
    """Press Tab until the target has the focus."""
    for _ in range(tries):
        if target.evaluate("(one) => one === document.activeElement"):
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"Tab never reaches {target}")


def fields(page: Page, kind: str) -> list[dict[str, Any]]:
    rows = page.evaluate("async (kind) => (await import('/store/queries.js')).allOf(kind)", kind)
    return [row["fields"] for row in rows]


def test_quick_note_is_entered_and_saved_by_keyboard(phones: Phones) -> None:
    page = phones.page("empty")
    page.goto("/#/pour")
    keys = page.keyboard
    tab_to(page, page.get_by_label("Name"))
    keys.type("Quiet Hill")
    tab_to(page, page.get_by_role("button", name="Style"))
    keys.press("Enter")
    finder = page.get_by_role("dialog")
    tab_to(page, finder.get_by_role("searchbox"))
    keys.type("barolo")
    tab_to(page, finder.get_by_role("button", name="Barolo").first)
    keys.press("Enter")
    expect(finder).to_have_count(0)
    tab_to(page, page.get_by_label("Alcohol", exact=True))
    keys.type("13.5")
    liking = page.get_by_role("slider", name="How much do you like it?")
    tab_to(page, liking)
    expect(liking).to_have_attribute("aria-valuetext", "not rated")
    keys.press("End")
    keys.press("ArrowLeft")
    expect(liking).to_have_attribute("aria-valuetext", "like very much")
    tab_to(page, page.get_by_label("In your own words"))
    keys.type("Tar and roses.")
    tab_to(page, primary_action(page))
    keys.press("Enter")
    expect(toast(page, "Quiet Hill")).to_be_visible()
    [bottle] = fields(page, "bottle")
    written = (bottle["name"], bottle["style"], bottle["label_abv"])
    assert written == ("Quiet Hill", "red_barolo", 13.5)
    [tasting] = fields(page, "tasting")
    assert (tasting["liking"], tasting["words"]) == (8, "Tar and roses.")
    assert tasting["closed_at"]


def test_dialog_closes_by_escape_and_restores_the_focus(phones: Phones) -> None:
    page = phones.page("empty")
    page.goto("/#/pour")
    opener = page.get_by_role("button", name="Style")
    tab_to(page, opener)
    page.keyboard.press("Enter")
    expect(page.get_by_role("dialog")).to_be_visible()
    page.keyboard.press("Escape")
    expect(page.get_by_role("dialog")).to_have_count(0)
    expect(opener).to_be_focused()


@pytest.mark.extended
def test_skip_link_moves_the_focus_to_the_page(phones: Phones) -> None:
    page = phones.page("demo")
    page.goto("about:blank")
    page.goto("/#/shelf")
    expect(page.get_by_role("article").first).to_be_visible()
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="Skip to content")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Shelf", level=1)).to_be_focused()


@pytest.mark.parametrize("screen", ["pour", "book", "shelf", "palate", "table", "settings"])
def test_focus_is_always_visible(phones: Phones, screen: str) -> None:
    page = phones.page("demo")
    page.goto("about:blank")
    page.goto(f"/#/{screen}")
    expect(page.locator("#page > *").nth(1)).to_be_attached()
    wait_for_idle(page)
    reached = set()
    for _ in range(25):
        page.keyboard.press("Tab")
        focus = page.evaluate(FOCUSED)
        if not focus["what"].startswith("<body"):
            reached.add(focus["what"])
            assert focus["seen"], focus["what"]
            assert not focus["covered"], focus["what"]
    # Six links of the menu and the skip link are on every screen.
    assert len(reached) > 7


def test_forced_colours_leave_every_state_visible(phones: Phones) -> None:
    page = phones.page("demo")
    page.emulate_media(forced_colors="active")
    page.goto("/#/settings")
    chosen = page.get_by_role("radio", checked=True).first
    expect(chosen).to_be_visible()
    tick = chosen.evaluate("(one) => getComputedStyle(one, '::before').content")
    assert "\u2713" in tick
    page.goto("/#/pour")
    here = page.get_by_role("navigation", name="Main menu").get_by_role("link", name="Pour")
    ribbon, behind_it = here.evaluate(
        "(one) => [getComputedStyle(one, '::before').backgroundColor, "
        "getComputedStyle(one.closest('nav')).backgroundColor]"
    )
    assert ribbon != behind_it
    liking = page.get_by_role("slider", name="How much do you like it?")
    liking.press("End")
    colours = liking.locator(".handle").evaluate(
        "(one) => [getComputedStyle(one).backgroundColor, getComputedStyle(document.body).color, "
        "getComputedStyle(document.documentElement).backgroundColor]"
    )
    assert colours[0] != colours[2]
    page.get_by_role("button", name="Clear How much do you like it?").click()
    page.emulate_media(forced_colors="none")


@pytest.mark.parametrize("screen", ["pour", "book", "shelf", "palate", "table", "settings"])
def test_reduced_motion_disables_animation(phones: Phones, screen: str) -> None:
    page = phones.page("demo")
    page.emulate_media(reduced_motion="reduce")
    page.goto(f"/#/{screen}")
    expect(page.locator("#page > *").nth(1)).to_be_attached()
    assert page.evaluate(MOVING) == []
