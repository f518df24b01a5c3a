"""Fallbacks of the client for features that an engine lacks."""

from __future__ import annotations

import sqlite3
from contextlib import closing

import pytest
from playwright.sync_api import Page, expect

from tests.browser.any_page import sync_state, toast
from tests.browser.barcode_images import drawing_camera
from tests.browser.engines import both_engines, first_page, in_firefox, tap
from tests.browser.pour_page import (
    name_line,
    open_pour,
    quick_note,
    wait_for_offline_copy,
    written,
)
from tests.browser.shelf_page import open_shelf

pytestmark = [pytest.mark.browser, pytest.mark.service_worker]

GTIN = "6291041500213"
FEATURES = {
    "background_sync": "'SyncManager' in window",
    "barcode_detection": "'BarcodeDetector' in window",
    "install_prompt": "'onbeforeinstallprompt' in window",
    "vibration": "'vibrate' in navigator",
}
STORED_ON_SERVER = "select count(*) from record where kind = 'tasting'"


@pytest.fixture(scope="module")
def page(playwright, engine, server, tmp_path_factory) -> Page:
    """Open one phone for the tests that do not sync."""
    folder = tmp_path_factory.mktemp("phone")
    with engine.phone(playwright, folder, base_url=server.url) as context:
        context.pages[0].goto("/#/settings")
        yield context.pages[0]


@both_engines
def test_simulated_engine_lacks_the_named_features(page, engine):
    lacking = {name for name, test in FEATURES.items() if not page.evaluate(test)}
    assert lacking == engine.lacks


@in_firefox
def test_install_steps_are_shown_without_a_prompt(page):
    expect(page.get_by_text("Look in the browser’s menu")).to_be_visible()


@in_firefox
def test_bottle_ready_is_shown_without_vibration(page):
    page.clock.install()
    page.goto("/#/pour/serving")
    page.reload()
    fridge = page.get_by_role("listitem").filter(has=page.get_by_text("Fridge", exact=True))
    tap(fridge.get_by_role("button"))
    expect(page.get_by_role("timer")).to_be_visible()
    page.clock.fast_forward("04:00:00")
    expect(toast(page, "ready to serve")).to_be_visible()


@in_firefox
def test_barcode_is_decoded_offline_without_a_native_detector(phone, live_server):
    context = phone()
    context.add_init_script(drawing_camera(GTIN))
    page = first_page(context)
    open_shelf(page)
    wait_for_offline_copy(page)
    live_server.kill()
    page.reload()
    tap(page.get_by_role("button", name="Add a bottle"))
    tap(page.get_by_role("button", name="Scan the barcode"))
    expect(page.get_by_text(GTIN)).to_be_visible()


@in_firefox
def test_notes_sync_on_reopen_without_background_sync(phone, live_server, tmp_path):
    context = phone(tmp_path / "phone")
    thumb = open_pour(context.pages[0])
    wait_for_offline_copy(thumb.page)
    live_server.kill()
    quick_note(thumb, "Alte Halde", liking=0.7)
    thumb.primary()
    expect(name_line(thumb.page)).to_have_value("")
    written(thumb.page)
    context.close()
    live_server.start()
    page = phone(tmp_path / "phone").pages[0]
    page.goto("/#/book")
    expect(sync_state(page, "all saved")).to_be_visible()
    with closing(sqlite3.connect(live_server.file)) as book:
        assert book.execute(STORED_ON_SERVER).fetchone() == (1,)
