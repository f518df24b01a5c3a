"""The reader of labels on the phone: fetched when it is wanted, removed in the settings."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import BrowserContext, Locator, Page, Request, expect

from tests.browser.engines import tap
from tests.browser.label_page import SIZE, is_stored, open_reader, store_reader
from tests.browser.pour_page import name_line, open_pour, quick_note, wait_for_offline_copy

pytestmark = pytest.mark.browser
FILES = "**/vendor/tesseract/*.gz"
NAME = "Vale do Corvo"


def fetch(sheet: Locator) -> None:
    tap(sheet.get_by_role("button", name="Fetch it"))


def test_size_is_said_before_anything_is_fetched(page: Page, context: BrowserContext) -> None:
    asked: list[Request] = []
    context.on("request", lambda request: asked.append(request))
    open_pour(page)
    sheet = open_reader(page)
    expect(sheet.get_by_text(SIZE)).to_be_visible()
    assert [one.url for one in asked if "tesseract" in one.url] == []
    fetch(sheet)
    expect(sheet.get_by_text("No camera can be used here.")).to_be_visible()
    assert is_stored(page)


def test_fetch_without_a_network_is_explained(phone, live_server):
    page = phone().pages[0]
    quick_note(open_pour(page), NAME)
    wait_for_offline_copy(page)
    live_server.kill()
    page.reload()
    sheet = open_reader(page)
    fetch(sheet)
    expect(sheet.get_by_role("alert")).to_contain_text("There is no network right now")
    live_server.start()
    fetch(sheet)
    expect(sheet.get_by_text("No camera can be used here.")).to_be_visible()
    tap(sheet.get_by_role("button", name="Close"))
    expect(name_line(page)).to_have_value(NAME)


def test_phone_without_room_for_the_reader_is_told(page: Page, server) -> None:
    open_pour(page)
    devtools = page.context.new_cdp_session(page)
    devtools.send("Storage.overrideQuotaForOrigin", {"origin": server.url, "quotaSize": 1_000_000})
    sheet = open_reader(page)
    fetch(sheet)
    expect(sheet.get_by_role("alert")).to_contain_text("This phone has no room for the reader.")
    assert not is_stored(page)


def test_address_without_https_is_explained(page: Page) -> None:
    page.add_init_script("delete globalThis.caches")
    open_pour(page)
    sheet = open_reader(page)
    expect(sheet.get_by_role("alert")).to_contain_text("the address begins with https")
    expect(sheet.get_by_role("button", name="Fetch it")).to_have_count(0)


def test_stopped_fetch_keeps_nothing(page: Page) -> None:
    page.route(FILES, lambda route: None)
    open_pour(page)
    sheet = open_reader(page)
    with page.expect_request(FILES):
        fetch(sheet)
    tap(sheet.get_by_role("button", name="Stop"))
    expect(sheet.get_by_role("button", name="Fetch it")).to_be_visible()
    expect(sheet.get_by_role("alert")).to_have_count(0)
    assert not is_stored(page)


def test_closing_the_sheet_stops_the_fetch(page: Page) -> None:
    page.route(FILES, lambda route: None)
    open_pour(page)
    sheet = open_reader(page)
    with page.expect_request(FILES):
        fetch(sheet)
    with page.expect_event("requestfailed"):
        tap(sheet.get_by_role("button", name="Close"))
    assert not is_stored(page)


def test_reader_is_removed_in_the_settings(page: Page) -> None:
    open_pour(page)
    store_reader(page)
    page.goto("/#/settings")
    part = page.get_by_role("region", name="Reading labels")
    expect(part).to_contain_text("works without a network")
    tap(part.get_by_role("button", name="Remove the reader"))
    expect(part).to_contain_text(re.compile(r"It needs \d\.\d MB"))
    assert not is_stored(page)
