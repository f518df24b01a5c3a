"""The phone of the measurements: the browser that is there, at the size of a small phone."""

from __future__ import annotations

from playwright.sync_api import Page, Playwright

from tests.browser.conftest import FLAGS

SIZE = {"width": 360, "height": 780}


def open_phone(playwright: Playwright, url: str, browser_path: str | None) -> Page:
    """One page of a fresh phone that has never seen the book."""
    browser = playwright.chromium.launch(executable_path=browser_path, args=FLAGS)
    return browser.new_page(base_url=url, viewport=SIZE, has_touch=True, is_mobile=True,
                            device_scale_factor=2, locale="en-GB", service_workers="block")
