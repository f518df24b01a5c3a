"""Notices about the database, shown until they are dismissed."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.any_page import sync_state, toast
from tests.browser.engines import tap
from tests.browser.live_server import LiveServer

pytestmark = pytest.mark.browser

NOTE = """async (words) => {
  const { save, newId } = await import('/store/write.js');
  await save('tasting', newId(), { words });
}"""
# Imports the modules of the tests while the server is running.
AT_HAND = """() => Promise.all([import('/store/write.js'), import('/store/database.js'),
  import('/sync/index.js')]).then(() => true)"""
SYNC = "async () => (await import('/sync/index.js')).syncNow()"
LOSE = """async () => {
  const { db } = await import('/store/database.js');
  await db.delete();
}"""
PRIVATE = "IDBFactory.prototype.open = () => { throw new DOMException('no', 'SecurityError'); };"
LATER_TABLES = """() => new Promise((done) => {
  const request = indexedDB.open('secondnose', 9_000);
  request.onsuccess = () => { request.result.close(); done(); };
})"""


@pytest.fixture
def page(phone: Callable[..., Any]) -> Page:
    opened: Page = phone().new_page()
    opened.goto("/#/book")
    expect(sync_state(opened, "all saved")).to_be_visible()
    opened.evaluate(AT_HAND)
    return opened


def read_it(page: Page) -> None:
    tap(page.get_by_role("button", name="OK", exact=True))
    expect(page.get_by_role("alert")).to_have_count(0)


def test_lost_database_notice_counts_unsent_notes(page: Page, live_server: LiveServer) -> None:
    live_server.kill()
    page.evaluate(NOTE, "never sent")
    expect(sync_state(page, "1 note to back up")).to_be_visible()
    page.evaluate(LOSE)
    live_server.start()
    page.reload()
    expect(page.get_by_role("alert")).to_contain_text("What wasn’t backed up yet is lost: 1 note.")
    read_it(page)
    page.reload()
    expect(sync_state(page, "all saved")).to_be_visible()
    expect(page.get_by_role("alert")).to_have_count(0)


def test_replaced_server_notice_is_shown_once(page: Page, live_server: LiveServer) -> None:
    page.evaluate(NOTE, "sent")
    page.evaluate(SYNC)
    live_server.kill()
    for leftover in live_server.folder.glob("book.sqlite*"):
        leftover.unlink()
    live_server.start()
    page.evaluate(SYNC)
    expect(page.get_by_role("alert")).to_contain_text("Your backup was replaced")
    expect(sync_state(page, "all saved")).to_be_visible()
    read_it(page)


TOPS = """() => [...document.querySelectorAll('main a, main button, main input')]
  .map((one) => one.getBoundingClientRect().top)"""


def test_offer_of_a_new_version_moves_nothing(page: Page) -> None:
    before = page.evaluate(TOPS)
    page.evaluate("""async () => {
      (await import('/pwa/app_update.js')).updateAvailable.value = true;
    }""")
    expect(toast(page, "A new version is ready")).to_be_visible()
    assert page.evaluate(TOPS) == before


def test_private_window_notice_is_shown(phone: Callable[..., Any]) -> None:
    page = phone().new_page()
    page.add_init_script(PRIVATE)
    page.goto("/#/book")
    expect(page.get_by_role("alert").first).to_contain_text("can’t save anything")


def test_outdated_tab_asks_for_a_reload(page: Page) -> None:
    page.evaluate(LATER_TABLES)
    expect(page.get_by_role("alert")).to_contain_text("A newer version is open")
    expect(page.get_by_role("button", name="Reload")).to_be_visible()
