"""Guests' phones and the leader's, for tests of a led tasting: each has an empty profile."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import ExitStack
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.engines import PHONE, tap
from tests.browser.led_table import APART_S, Leader, LeaderBySync, LeaderPhone, glass_id, join
from tests.browser.live_server import LiveServer
from tests.browser.pour_page import likely_aromas, noted_words
from tests.browser.waiting import LIMIT_S, wait_until

PhoneOpener = Callable[..., Page]
COUNT_TAPS = """() => {
  globalThis.taps = 0;
  addEventListener('click', () => { globalThis.taps += 1; }, true);
}"""


NONE_MS = 1_000_000_000
QUICKEST_MS = """async () => {
  const { seat } = await import('/domain/guest/seat_state.js');
  return seat.value?.clock?.way_ms ?? 1_000_000_000;
}"""


def phone_opener(stack: ExitStack, browser: Browser, url: str, **options: Any) -> PhoneOpener:
    """Return a function that opens another phone, with a script that runs before each page."""

    def open_phone(script: str | None = None) -> Page:
        context = stack.enter_context(browser.new_context(base_url=url, **PHONE, **options))
        context.set_default_timeout(LIMIT_S * 1000)
        if script:
            context.add_init_script(f"({script})()")
        return context.new_page()

    return open_phone


@pytest.fixture
def guest_phone(browser: Browser, live_server: LiveServer, workers: str) -> Iterator[PhoneOpener]:
    with ExitStack() as stack:
        yield phone_opener(stack, browser, live_server.url, service_workers=workers)


@pytest.fixture
def leader(live_server: LiveServer) -> Leader:
    return LeaderBySync(live_server.url)


@pytest.fixture
def leader_phone(guest_phone: PhoneOpener) -> LeaderPhone:
    return LeaderPhone(guest_phone())


def guest_at(
    leader: Leader, guest_phone: PhoneOpener, step: str, script: str | None = None
) -> Page:
    """Set the table, and return the phone of a guest at a step of the first glass."""
    leader.set_table()
    page = guest_phone(script)
    at_step(leader, page, step)
    wait_until(page, lambda: page.evaluate(QUICKEST_MS) < NONE_MS, "an exchange with the server")
    # Of the server's time a phone knows what its quickest exchange tells (`close_step`).
    leader.apart_s = max(APART_S, 2 * page.evaluate(QUICKEST_MS) / 1000)
    return page


def note_a_first_word(leader: Leader, page: Page) -> None:
    """Join at the first nose by the invitation, and note a word within four taps."""
    name = page.get_by_label("Your first name")
    tap(name)
    name.press_sequentially("Ada")
    tap(page.get_by_role("button", name="Join the table"))
    tap(likely_aromas(page).get_by_role("button").first)
    expect(noted_words(page)).to_be_visible()
    assert page.evaluate("() => globalThis.taps") <= 4
    wait_until(page, lambda: leader.rows("sheet"), "the word in the leader's book")


def at_step(leader: Leader, page: Page, step: str, name: str = "Ada") -> None:
    """Open a step of the first glass, and join there."""
    leader.open_step(0, step)
    join(page, leader.invitation["path"], name)
    expect(page.locator(f"[data-step={step}]")).to_be_visible()


def liking_of(leader: Leader, at: int = 0) -> list[float]:
    sheets = leader.rows("sheet")
    return [s["liking"] for s in sheets if s["glass"] == glass_id(at) and s.get("liking")]
