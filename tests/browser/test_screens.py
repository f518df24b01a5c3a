"""All checks of `screen_checks` on every screen.

Each visit reports the findings of all checks, so that one does not hide another.
"""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.browser.console_watch import origins
from tests.browser.engines import tap
from tests.browser.screen_checks import (
    ON_ITS_SIDE,
    SIDEWAYS,
    found_by_axe,
    found_in_layout,
    found_in_words,
    only,
)
from tests.browser.screen_states import TYPED, states_behind
from tests.browser.seeded_phones import Phones, each_screen, phones, screen_name
from tests.browser.visitor import UPRIGHT
from tests.screenshots.screens import MAIN_SCREENS, Screen

__all__ = ["phones"]
pytestmark = pytest.mark.browser
IN_DEMO = [screen for book, screen in each_screen() if book == "demo"]
# Of an empty notebook only the main screens and those that example data does not show. The steps
# of an empty note differ from those of a full one only in their values.
EVERY_STATE = [
    *(
        pytest.param(book, screen, marks=pytest.mark.extended)
        if book == "empty"
        and (
            ("demo" in screen.books and screen.name not in MAIN_SCREENS)
            or screen.name.endswith("blank")
        )
        else (book, screen)
        for book, screen in each_screen()
    ),
    *(("demo", screen) for screen in states_behind()),
]
# Said by the tests' browser itself, in which workers are blocked.
BLOCKED = "warning: Service Worker registration blocked by Playwright ()"
WORDS = "() => document.querySelector('#app').innerText"
# With large text the settings stay beside the title, and fixed buttons leave most of the page.
LARGE_HEAD_AND_FOOT = """() => {
  const box = (selector) => document.querySelector(selector)?.getBoundingClientRect();
  const [title, settings] = [box('.page-head h1'), box('.page-head .settings-link')];
  const fixed = [...document.querySelectorAll('.at-thumb')]
    .filter((one) => getComputedStyle(one).position === 'sticky' && one.offsetHeight > 200);
  return [...(settings && settings.top > title.bottom ? ['settings'] : []), ...fixed.map(String)];
}"""


@pytest.mark.parametrize(("book", "screen"), EVERY_STATE, ids=screen_name)
def test_screen_passes_every_check(phones: Phones, book: str, screen: Screen) -> None:
    visitor = phones.visitor(book, marked=True)
    visitor.go_to(screen)
    found = {
        **found_in_layout(visitor),
        **found_by_axe(visitor, screen.is_leaf, by_night=screen.name in MAIN_SCREENS),
        **found_in_words(visitor, TYPED),
    }
    messages, requests = phones.heard[visitor]
    found["console"] = [message for message in messages if message != BLOCKED]
    found["other servers"] = sorted(origins(requests) - {phones.servers[book].url})
    messages.clear()
    requests.clear()
    assert only(found) == {}
    visitor.leave(screen)


@pytest.mark.extended
@pytest.mark.parametrize(("book", "screen"), EVERY_STATE, ids=screen_name)
def test_screen_has_contrast_by_night(phones: Phones, book: str, screen: Screen) -> None:
    visitor = phones.visitor(book, marked=True)
    visitor.go_to(screen)
    assert only(found_by_axe(visitor, screen.is_leaf)) == {}
    visitor.leave(screen)


@pytest.mark.parametrize("name", MAIN_SCREENS)
def test_main_screen_fits_with_double_text_size(phones: Phones, name: str) -> None:
    assert found_in_large_text(phones, Screen(name, f"#/{name}")) == []


@pytest.mark.extended
@pytest.mark.parametrize("screen", IN_DEMO, ids=screen_name)
def test_screen_fits_with_double_text_size(phones: Phones, screen: Screen) -> None:
    assert found_in_large_text(phones, screen) == []


def found_in_large_text(phones: Phones, screen: Screen) -> list[str]:
    visitor = phones.visitor("demo", large=True)
    page = visitor.go_to(screen)
    assert page.evaluate("() => getComputedStyle(document.documentElement).fontSize") == "32px"
    found: list[str] = page.evaluate(SIDEWAYS) + page.evaluate(LARGE_HEAD_AND_FOOT)
    visitor.leave(screen)
    return found


@pytest.mark.extended
@pytest.mark.parametrize("locale", ["fr-FR", "it-IT"])
@pytest.mark.parametrize(("book", "screen"), each_screen(), ids=screen_name)
def test_screen_fits_in_each_language(
    phones: Phones, book: str, screen: Screen, locale: str
) -> None:
    visitor = phones.visitor(book, locale)
    page = visitor.go_to(screen)
    assert page.evaluate("() => document.documentElement.lang") == locale[:2]
    assert only(found_in_layout(visitor)) == {}
    visitor.leave(screen)


@pytest.mark.extended
@pytest.mark.parametrize(
    "screen", [screen for screen in IN_DEMO if not screen.is_touched], ids=screen_name
)
def test_screen_is_equal_by_navigation_and_by_address(phones: Phones, screen: Screen) -> None:
    visitor = phones.visitor("demo")
    walked = visitor.go_to(screen).evaluate(WORDS)
    started = visitor.go_to(screen, start=True).evaluate(WORDS)
    assert walked == started
    visitor.leave(screen)


def test_landscape_phone_has_the_navigation_at_the_side(phones: Phones) -> None:
    page = phones.page("demo")
    page.set_viewport_size(ON_ITS_SIDE)
    page.goto("/#/pour")
    keep = page.get_by_role("button", name="Save", exact=True)
    expect(keep).to_be_visible()
    navigation = page.get_by_role("navigation", name="Main menu")
    bar, done = navigation.bounding_box(), keep.bounding_box()
    tap(page.get_by_role("link", name="Overall"))
    timer = page.locator(".timer-button")
    expect(timer).to_be_visible()
    start, following = timer.bounding_box(), page.locator(".at-thumb").bounding_box()
    page.set_viewport_size(UPRIGHT)
    assert bar
    assert done
    assert (bar["x"], bar["height"]) == (0, ON_ITS_SIDE["height"])
    assert done["x"] >= bar["width"]
    assert start
    assert following
    assert start["y"] + start["height"] <= following["y"]
