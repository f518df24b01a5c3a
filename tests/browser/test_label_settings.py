"""The section of the settings that fetches and removes the reader of labels."""

from __future__ import annotations

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.engines import tap
from tests.browser.label_page import is_stored
from tests.browser.screen_checks import COLOURS, SIDEWAYS, axe

pytestmark = pytest.mark.browser


def open_section(page: Page) -> Locator:
    page.goto("/#/settings")
    section = page.get_by_role("region", name="Reading labels")
    expect(section.get_by_role("status")).to_contain_text(
        "isn’t on this phone yet. It needs 1.4 MB"
    )
    return section


def test_reader_is_fetched_and_removed_in_the_settings(page):
    section = open_section(page)
    tap(section.get_by_role("button", name="Download"))
    expect(section.get_by_text("is on this phone and works offline")).to_be_visible()
    expect(section.get_by_role("button", name="Remove the label reader")).to_be_visible()
    expect(section.get_by_role("heading")).to_be_focused()
    assert is_stored(page)
    tap(section.get_by_role("button", name="Remove the label reader"))
    expect(section.get_by_role("button", name="Download")).to_be_visible()
    expect(section.get_by_role("heading")).to_be_focused()
    assert not is_stored(page)


def test_fetch_without_a_network_is_explained_in_the_settings(page):
    section = open_section(page)
    page.route("**/vendor/tesseract/*.gz", lambda route: route.abort())
    tap(section.get_by_role("button", name="Download"))
    expect(section.get_by_role("alert")).to_contain_text("You’re offline, so the label reader")
    assert axe(page, COLOURS) == []
    assert page.evaluate(SIDEWAYS) == []
    assert not is_stored(page)
