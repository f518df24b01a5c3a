"""Room for a thumb, and for large text: nothing too small to press, nothing out of the page.

48 px: the project's own measure (issue of looks and access); WCAG 2.2 SC 2.5.8 asks for 24.
No sideways scrolling at 320 px, on its side, with text at 200 %, and with wider spaces between
letters, words and lines: WCAG 2.2 SC 1.4.10, 1.3.4, 1.4.4 and 1.4.12.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Page, Playwright

from tests.browser.conftest import FLAGS
from tests.browser.screens_held import Phones, every_screen, phones
from tests.shots.books import phone_with
from tests.shots.camera import LARGE_TEXT_FLAG
from tests.shots.screens import Screen, screens

__all__ = ["phones"]
pytestmark = pytest.mark.browser

# A link inside a sentence is as high as its line (SC 2.5.8, exception "inline"); what is drawn
# around an element by ::after can be pressed too; a hidden file input is pressed by its label.
SMALL = """() => [...document.querySelectorAll(
  'a[href], button, input, select, textarea, summary, [role=slider], [tabindex="0"]'
)].map((one) => (one.matches('input.unseen') ? one.labels[0] ?? one : one)).filter((one) => {
  const shown = one.checkVisibility({ visibilityProperty: true });
  const modal = document.querySelector('dialog[open]');
  if (!shown || one.closest('.skip') || (modal && !modal.contains(one))) return false;
  const inSentence = one.localName === 'a' && getComputedStyle(one).display === 'inline'
    && one.parentElement.textContent.trim() !== one.textContent.trim();
  if (inSentence) return false;
  const { width, height } = one.getBoundingClientRect();
  const after = getComputedStyle(one, '::after');
  const drawn = after.position === 'absolute' && after.content !== 'none';
  const beyond = (...sides) => drawn
    ? sides.reduce((sum, side) => sum - Math.min(0, parseFloat(after[side]) || 0), 0) : 0;
  return height + beyond('top', 'bottom') < 47.5 || width + beyond('left', 'right') < 47.5;
}).map((one) => {
  const { width, height } = one.getBoundingClientRect();
  return `${Math.round(width)}x${Math.round(height)} ${one.outerHTML.slice(0, 120)}`;
})"""
# Of what sticks out, only the outermost, and only where the page or the leaf would scroll for it.
SIDEWAYS = """() => {
  const out = (one) => one.getBoundingClientRect().right > innerWidth + 0.5;
  return [document.documentElement, ...document.querySelectorAll('dialog[open]')]
    .filter((one) => one.scrollWidth > one.clientWidth)
    .flatMap((one) => [one, ...one.querySelectorAll('*')])
    .filter((one) => one.checkVisibility() && out(one))
    .filter((one) => !out(one.parentElement ?? document.body))
    .map((one) => one.outerHTML.slice(0, 160));
}"""


# The measures of SC 1.4.12. A sheet made by the page itself is not held up by its policy.
SPACED = """() => {
  const spaced = new CSSStyleSheet();
  spaced.replaceSync(`* {
    line-height: 1.5 !important; letter-spacing: 0.12em !important; word-spacing: 0.16em !important;
  }
  p { margin-bottom: 2em !important; }`);
  document.adoptedStyleSheets = [spaced];
}"""
# Only a line that ends in dots on purpose may be cut, and a name in the list after two lines.
CUT_OFF = """() => [...document.querySelectorAll('#app *, dialog[open] *')].filter((one) => {
  const { overflowX, overflowY, textOverflow, webkitLineClamp } = getComputedStyle(one);
  const cuts = (way) => way === 'hidden' || way === 'clip';
  const isMeant = textOverflow === 'ellipsis' || webkitLineClamp !== 'none';
  return one.checkVisibility() && !isMeant && !one.closest('.unseen, svg') && one.textContent.trim()
    && (cuts(overflowY) && one.scrollHeight > one.clientHeight + 2
      || cuts(overflowX) && one.scrollWidth > one.clientWidth + 2);
}).map((one) => one.outerHTML.slice(0, 160))"""
UPRIGHT = {"width": 360, "height": 780}
NARROWEST = {"width": 320, "height": 640}
ON_ITS_SIDE = {"width": 780, "height": 360}


@every_screen
def test_a_screen_fits_the_thumb_and_the_narrow_phone(
    phones: Phones, book: str, screen: Screen
) -> None:
    page = phones.page(book)
    screen.open(page)
    assert page.evaluate(SMALL) == []
    assert page.evaluate(SIDEWAYS) == []


@every_screen
def test_a_screen_fits_the_narrowest_phone_and_one_on_its_side(
    phones: Phones, book: str, screen: Screen
) -> None:
    page = phones.page(book)
    screen.open(page)
    try:
        page.set_viewport_size(NARROWEST)
        assert page.evaluate(SIDEWAYS) == []
        page.set_viewport_size(ON_ITS_SIDE)
        assert page.evaluate(SIDEWAYS) == []
        assert page.evaluate(SMALL) == []
    finally:
        page.set_viewport_size(UPRIGHT)


@every_screen
def test_nothing_is_lost_with_wider_spaces_in_the_text(
    phones: Phones, book: str, screen: Screen
) -> None:
    page = phones.page(book)
    screen.open(page)
    page.evaluate(SPACED)
    try:
        assert page.evaluate(SIDEWAYS) == []
        assert page.evaluate(CUT_OFF) == []
    finally:
        page.evaluate("() => { document.adoptedStyleSheets = []; }")


def test_a_phone_on_its_side_has_the_rooms_at_the_binding(phones: Phones) -> None:
    page = phones.page("demo")
    try:
        page.set_viewport_size(ON_ITS_SIDE)
        page.goto("/#/pour")
        rooms = page.get_by_role("navigation").bounding_box()
        done = page.get_by_role("button", name="Keep", exact=True).bounding_box()
        assert rooms
        assert done
        assert (rooms["x"], rooms["height"]) == (0, ON_ITS_SIDE["height"])
        assert done["x"] >= rooms["width"]
    finally:
        page.set_viewport_size(UPRIGHT)


@pytest.fixture(scope="module")
def large_text(playwright: Playwright, browser_path: str) -> Iterator[Page]:
    flags = [*FLAGS, LARGE_TEXT_FLAG]
    browser = playwright.chromium.launch(executable_path=browser_path, args=flags)
    with phone_with(browser, "demo") as context:
        page = context.new_page()
        page.set_viewport_size({"width": 360, "height": 780})
        yield page
    browser.close()


@pytest.mark.parametrize(
    "screen", [screen for screen in screens() if "demo" in screen.books], ids=lambda one: one.name
)
def test_text_of_twice_the_size_still_fits_the_page(large_text: Page, screen: Screen) -> None:
    screen.open(large_text)
    letters = large_text.evaluate("() => getComputedStyle(document.documentElement).fontSize")
    assert letters == "32px"
    assert large_text.evaluate(SIDEWAYS) == []
