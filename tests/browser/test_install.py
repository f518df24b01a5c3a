"""The install prompt: shown once, after the second note."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.any_page import sync_state
from tests.browser.engines import tap
from tests.browser.seed_records import kept_here
from tests.browser.waiting import wait_for_idle

pytestmark = pytest.mark.browser

# Simulates the event that Chromium sends when a page can be installed.
MAY_BE_INSTALLED = """() => {
  const event = new Event('beforeinstallprompt', { cancelable: true });
  event.prompt = async () => {
    window.asked = (window.asked ?? 0) + 1;
    return { outcome: 'accepted' };
  };
  dispatchEvent(event);
  return event.defaultPrevented;
}"""
# Records the number of own notes when the prompt first appears.
OFFERED_AT = """() => {
  window.own = 0;
  new MutationObserver(() => {
    const texts = [...document.querySelectorAll('button')].map((button) => button.innerText);
    if (texts.includes('Add it')) window.offeredAt ??= window.own;
  }).observe(document.body, { childList: true, subtree: true });
}"""
NOTE = """async (example) => {
  if (!example) window.own = (window.own ?? 0) + 1;
  const { save, newId } = await import('/store/write.js');
  await save('tasting', newId(), { words: 'a note', liking: 6, ...(example ? { example } : {}) });
}"""
SAFARI = """Object.defineProperty(navigator, 'standalone', { value: false });
addEventListener('beforeinstallprompt', (event) => { event.stopImmediatePropagation(); });"""


@pytest.fixture
def page(phone: Callable[..., Any]) -> Page:
    opened: Page = phone().new_page()
    opened.goto("/#/book")
    expect(sync_state(opened, "all saved")).to_be_visible()
    return opened


def test_install_is_offered_after_the_second_own_note(page: Page) -> None:
    assert page.evaluate(MAY_BE_INSTALLED)
    offer = page.get_by_role("button", name="Add it")
    page.evaluate(OFFERED_AT)
    for example in (False, True, True):
        page.evaluate(NOTE, example)
        wait_for_idle(page)
    page.evaluate(NOTE, False)
    expect(offer).to_be_visible()
    assert page.evaluate("window.offeredAt") == 2
    tap(offer)
    expect(offer).to_have_count(0)
    assert page.evaluate("window.asked") == 1


@pytest.mark.extended
def test_install_declined_is_offered_in_settings_only(page: Page) -> None:
    for _ in range(2):
        page.evaluate(NOTE, False)
    page.evaluate(MAY_BE_INSTALLED)
    tap(page.get_by_role("button", name="Not now"))
    kept_here(page)
    page.reload()
    expect(sync_state(page)).to_be_visible()
    page.evaluate(MAY_BE_INSTALLED)
    page.goto("/#/settings")
    put = page.get_by_role("button", name="Add it")
    expect(put).to_have_count(1)
    tap(put)
    assert page.evaluate("window.asked") == 1
    page.evaluate("dispatchEvent(new Event('appinstalled'))")
    expect(page.get_by_text("Second Nose is on your home screen.")).to_be_visible()


@pytest.mark.extended
def test_install_steps_are_shown_on_iphone(phone: Callable[..., Any]) -> None:
    context = phone()
    context.add_init_script(SAFARI)
    page = context.new_page()
    page.goto("/#/book")
    expect(sync_state(page)).to_be_visible()
    for _ in range(2):
        page.evaluate(NOTE, False)
    expect(page.get_by_text("Safari deletes your notes")).to_be_visible()
    tap(page.get_by_role("button", name="OK", exact=True))
    expect(page.get_by_text("Safari deletes your notes")).to_have_count(0)
