"""The home screen is offered after the second note, in the browser's own way, and once."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.evening import kept_here

pytestmark = pytest.mark.browser

# What Chromium sends when a page may be installed; the question itself is the browser's own.
MAY_BE_INSTALLED = """() => {
  const event = new Event('beforeinstallprompt', { cancelable: true });
  event.prompt = async () => {
    window.asked = (window.asked ?? 0) + 1;
    return { outcome: 'accepted' };
  };
  dispatchEvent(event);
  return event.defaultPrevented;
}"""
NOTE = """async (example) => {
  const { save, newId } = await import('/book/write.js');
  await save('tasting', newId(), { words: 'a note', liking: 6, ...(example ? { example } : {}) });
}"""
SAFARI = """Object.defineProperty(navigator, 'standalone', { value: false });
addEventListener('beforeinstallprompt', (event) => { event.stopImmediatePropagation(); });"""


@pytest.fixture
def page(phone: Callable[..., Any]) -> Page:
    opened: Page = phone().new_page()
    opened.goto("/#/book")
    expect(opened.locator(".state-words")).to_have_text("all kept safe", timeout=20_000)
    return opened


def test_it_is_offered_after_the_second_own_note_and_asked_by_the_browser(page: Page) -> None:
    assert page.evaluate(MAY_BE_INSTALLED)
    offer = page.get_by_role("button", name="Put it there")
    for example in (False, True, True):
        page.evaluate(NOTE, example)
    page.wait_for_timeout(500)
    expect(offer).to_have_count(0)
    page.evaluate(NOTE, False)
    offer.tap()
    expect(offer).to_have_count(0)
    assert page.evaluate("window.asked") == 1


def test_who_said_not_now_is_not_asked_again_but_finds_it_in_the_settings(page: Page) -> None:
    for _ in range(2):
        page.evaluate(NOTE, False)
    page.evaluate(MAY_BE_INSTALLED)
    page.get_by_role("button", name="Not now").tap()
    kept_here(page)
    page.reload()
    expect(page.locator(".state-words")).to_be_visible()
    page.evaluate(MAY_BE_INSTALLED)
    page.goto("/#/settings")
    put = page.get_by_role("button", name="Put it there")
    expect(put).to_have_count(1)
    put.tap()
    assert page.evaluate("window.asked") == 1
    page.evaluate("dispatchEvent(new Event('appinstalled'))")
    expect(page.get_by_text("The book stands on the home screen.")).to_be_visible()


def test_on_an_iphone_the_way_is_told_in_honest_words(phone: Callable[..., Any]) -> None:
    context = phone()
    context.add_init_script(SAFARI)
    page = context.new_page()
    page.goto("/#/book")
    expect(page.locator(".state-words")).to_be_visible()
    for _ in range(2):
        page.evaluate(NOTE, False)
    expect(page.get_by_text("Safari throws away")).to_be_visible()
    page.get_by_role("button", name="I have read it").tap()
    expect(page.get_by_text("Safari throws away")).to_have_count(0)
