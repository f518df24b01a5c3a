"""Browser context that emulates a small phone."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import BrowserContext, Page, Playwright

from tests.browser.conftest import FLAGS

SIZE = {"width": 360, "height": 780}
# Resolves when the service worker has cached the whole app.
KEPT = "async () => { await navigator.serviceWorker.ready; }"
# A page function that resolves when the last change is painted, to ms since navigation.
PAINTED = """() => new Promise((done) => requestAnimationFrame(() => {
  const channel = new MessageChannel();
  channel.port1.onmessage = () => done(performance.now());
  channel.port2.postMessage(null);
}))"""


@contextmanager
def phone(
    playwright: Playwright, browser_path: str | None, folder: Path, url: str
) -> Iterator[BrowserContext]:
    """Start a browser with `folder` as its profile; the same folder gives the same phone again."""
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
    """Throttle the processor of a page by a factor and return the page."""
    session = page.context.new_cdp_session(page)
    session.send("Emulation.setCPUThrottlingRate", {"rate": times})
    return page
