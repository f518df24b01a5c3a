"""The phone of the measurements: the browser that is there, at the size of a small phone."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import BrowserContext, Page, Playwright

from tests.browser.conftest import FLAGS

SIZE = {"width": 360, "height": 780}
# The whole app is on the phone and would open without a network.
KEPT = "async () => { await navigator.serviceWorker.ready; }"
# A function of the page: when what was just changed is on the screen, in ms since navigation.
PAINTED = """() => new Promise((done) => requestAnimationFrame(() => {
  const channel = new MessageChannel();
  channel.port1.onmessage = () => done(performance.now());
  channel.port2.postMessage(null);
}))"""


@contextmanager
def phone(
    playwright: Playwright, browser_path: str | None, folder: Path, url: str
) -> Iterator[BrowserContext]:
    """A phone whose disk is a folder: the same folder later is the same phone, started anew."""
    context = playwright.chromium.launch_persistent_context(
        folder,
        executable_path=browser_path,
        args=FLAGS,
        base_url=url,
        viewport=SIZE,
        has_touch=True,
        is_mobile=True,
        device_scale_factor=2,
        locale="en-GB",
        timezone_id="Europe/Rome",
    )
    try:
        yield context
    finally:
        context.close()


def slowed(page: Page, times: int) -> Page:
    """The same page on a processor that is slower so many times."""
    session = page.context.new_cdp_session(page)
    session.send("Emulation.setCPUThrottlingRate", {"rate": times})
    return page
