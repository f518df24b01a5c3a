"""Waits for events instead of fixed delays, with a time limit and a failure message."""

from __future__ import annotations

import time
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

# Long enough for a loaded machine; only failing waits reach it.
LIMIT_S = 120
expect.set_options(timeout=LIMIT_S * 1000)
# Each look may ask the server, so a longer wait looks less often.
FIRST_PUMP_MS = 20
LAST_PUMP_MS = 320
# Two idle callbacks, because the first may start work such as a lazy component.
IDLE = """() => new Promise((done) => {
  requestIdleCallback(() => requestAnimationFrame(() => requestIdleCallback(() => done(true))));
})"""


def wait_until(page: Page, condition: Callable[[], object], awaited: str) -> None:
    """Process page events until the Python condition is true."""
    deadline = time.monotonic() + LIMIT_S
    pump_ms = FIRST_PUMP_MS
    while not condition():
        if time.monotonic() > deadline:
            pytest.fail(f"This never came: {awaited}")
        page.wait_for_timeout(pump_ms)
        pump_ms = min(2 * pump_ms, LAST_PUMP_MS)


def wait_for_idle(page: Page) -> None:
    """Wait until the page is idle and has rendered."""
    page.evaluate(IDLE)
