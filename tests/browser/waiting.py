"""Waiting for events rather than for time; every wait has an end and says what never came."""

from __future__ import annotations

import time
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

# Only what never comes takes as long, also on a machine that is busy with something else.
LIMIT_S = 120
expect.set_options(timeout=LIMIT_S * 1000)
PUMP_MS = 20
# Two turns: what a first idle moment starts, such as a lazy part, has been drawn by the second.
IDLE = """() => new Promise((done) => {
  requestIdleCallback(() => requestAnimationFrame(() => requestIdleCallback(() => done(true))));
})"""


def wait_until(page: Page, condition: Callable[[], object], awaited: str) -> None:
    """Let the page's events in until the condition, which is one of the test's own, is true."""
    deadline = time.monotonic() + LIMIT_S
    while not condition():
        if time.monotonic() > deadline:
            pytest.fail(f"This never came: {awaited}")
        page.wait_for_timeout(PUMP_MS)


def wait_for_idle(page: Page) -> None:
    """Wait until the page has drawn what it has to draw, and what follows from that."""
    page.evaluate(IDLE)
