"""Guests' phones and the leader's, for tests of a led tasting: each has an empty profile."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import ExitStack
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.engines import PHONE
from tests.browser.led_table import Leader, join
from tests.browser.live_server import LiveServer
from tests.browser.waiting import LIMIT_S

PhoneOpener = Callable[..., Page]
COUNT_TAPS = """() => {
  globalThis.taps = 0;
  addEventListener('click', () => { globalThis.taps += 1; }, true);
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
def leader(guest_phone: PhoneOpener) -> Leader:
    return Leader(guest_phone())


def at_step(leader: Leader, page: Page, step: str, name: str = "Ada") -> None:
    """Open a step of the first glass, and join there."""
    leader.open_step(0, step)
    join(page, leader.invitation["path"], name)
    expect(page.locator(f"[data-step={step}]")).to_be_visible()
