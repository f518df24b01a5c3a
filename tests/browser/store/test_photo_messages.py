"""Messages for photos that cannot be uploaded and edits that cannot be saved."""

from __future__ import annotations

import json

import pytest
from playwright.sync_api import expect

from tests.browser.any_page import sync_state
from tests.browser.store.app_driver import HTML, KEPT, PROBLEM, rows_of
from tests.browser.waiting import wait_until

pytestmark = pytest.mark.browser

PHOTO = """async (tasting) => {
  const canvas = new OffscreenCanvas(300, 200);
  canvas.getContext('2d').fillRect(9, 9, 90, 90);
  const { addPhoto } = await import('/photos/photos.js');
  return addPhoto({ tasting }, await canvas.convertToBlob({ type: 'image/jpeg' }));
}"""


def test_failed_photo_upload_is_shown_and_delays_no_note(taster, live_server):
    taster.wire.in_the_way = lambda body: (503, HTML, "later") if "JFIF" in body else None
    taster.page.evaluate(PHOTO, taster.note())
    taster.reads("1 photo to back up")
    taster.note()
    all_records = "SELECT count(*) FROM record"
    wait_until(taster.page, lambda: rows_of(live_server, all_records) == 3, "the third record")
    taster.reads("1 photo to back up")
    taster.wire.in_the_way = lambda _: None
    taster.reads(KEPT)
    assert rows_of(live_server, "SELECT count(*) FROM photo_bytes") == 1


def test_rejected_photo_is_shown_with_the_reason(taster):
    text = json.dumps({"code": "x", "errors": {"photo": [{"code": "too_many_pixels"}]}})
    taster.wire.in_the_way = lambda body: (422, PROBLEM, text) if "JFIF" in body else None
    taster.page.evaluate(PHOTO, taster.note())
    taster.reads("1 photo to back up")
    taster.page.evaluate("location.hash = '#/settings'")
    expect(taster.page.get_by_text("This photo has too many pixels.")).to_be_visible()
    taster.page.get_by_role("link", name="Go to its note").click()
    expect(taster.page.get_by_role("img", name="Photo from")).to_be_visible()


def test_server_photo_quota_is_shown(taster, live_server):
    live_server.stop()
    live_server.start(SECONDNOSE_MAX_PHOTOS="1", SECONDNOSE_MAX_RECORDS="4")
    for _ in range(2):
        taster.page.evaluate(PHOTO, taster.note())
    taster.page.evaluate("location.hash = '#/settings'")
    text = taster.page.get_by_text("There’s no room for more photos in your backup.")
    expect(text).to_be_visible()
    taster.note()
    full = taster.page.get_by_text("it has room for 4 items")
    expect(full).to_be_visible()


def test_full_phone_is_shown_and_keeps_typed_text(browser, live_server):
    context = browser.new_context(viewport={"width": 360, "height": 780}, locale="en-GB")
    page = context.new_page()
    page.goto(live_server.url + "/#/pour")
    page.evaluate("""() => {
      const { put } = IDBObjectStore.prototype;
      globalThis.mend = () => { IDBObjectStore.prototype.put = put; };
      IDBObjectStore.prototype.put = () => { throw new DOMException('x', 'QuotaExceededError'); };
    }""")
    line = page.locator('[data-field="bottle.name"] input')
    line.fill("Cascina Inventata")
    expect(page.get_by_role("alert")).to_contain_text("The phone is full")
    expect(line).to_have_value("Cascina Inventata")
    page.evaluate("mend()")
    page.get_by_role("button", name="Try again").click()
    expect(page.get_by_role("alert")).to_have_count(0)
    # The note is on the phone, and a draft until it is saved.
    expect(sync_state(page, "draft")).to_be_visible()
    context.close()
