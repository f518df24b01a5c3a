"""Barcode scanning: a known number fills the form offline, a new one is saved."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.browser.barcode_images import film
from tests.browser.conftest import FLAGS
from tests.browser.engines import tap
from tests.browser.shelf_page import open_shelf, row

pytestmark = pytest.mark.browser

# GS1, "How to calculate a check digit": 629104150021 has the check digit 3.
KNOWN = "6291041500213"
IN_STORE = "2000000000008"
BOTTLE, TASTING = (f"01900000-0000-7000-8000-00000000e00{n}" for n in (1, 2))
SAVE = "async (edits) => (await import('/store/write.js')).saveMany(edits)"
BOOK = [
    {
        "kind": "bottle",
        "id": BOTTLE,
        "fields": {"name": "Sasso Vivo", "vintage": 2019, "label_abv": 14.5, "gtin": KNOWN},
    },
    {
        "kind": "tasting",
        "id": TASTING,
        "fields": {
            "bottle": BOTTLE,
            "tasted_at": "2026-10-03T20:15:00+02:00",
            "liking": 8,
            "words": "Long and savoury.",
        },
    },
]
RECORDS = """async (kind) => {
  await (await import('/domain/pour/autosave_queue.js')).whenIdle();
  const { allOf } = await import('/store/queries.js');
  return (await allOf(kind)).map((row) => row.fields);
}"""


# Removes the native detector, to test the bundled one, and records violations of the CSP.
ALONE = """() => {
  delete globalThis.BarcodeDetector;
  globalThis.refused = [];
  addEventListener('securitypolicyviolation', ({ violatedDirective, blockedURI }) => {
    globalThis.refused.push(`${violatedDirective} ${blockedURI}`);
  });
}"""
# Runs in a timer, because code evaluated by Playwright bypasses the CSP.
POLICY = """() => {
  const refused = [...globalThis.refused];
  const tried = (act) => { try { act(); return 'allowed'; } catch (error) { return error.name; } };
  return new Promise((done) => { setTimeout(() => done({
    refused,
    words_run_as_code: tried(() => new Function('return 1')()),
    words_made_into_a_page: tried(() => { document.createElement('p').innerHTML = '<b>x</b>'; }),
  })); });
}"""
IN_FORCE = {"refused": [], "words_run_as_code": "EvalError", "words_made_into_a_page": "TypeError"}


@pytest.fixture
def shop(phone, tmp_path):
    """Return a function that opens a phone whose camera shows the barcode of a number."""

    def open_phone(gtin: str | None, **options: object):
        camera = ["--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream"]
        if gtin:
            camera.append(f"--use-file-for-fake-video-capture={film(gtin, tmp_path / 'bars.y4m')}")
        context = phone(args=[*FLAGS, *camera], **options)
        context.add_init_script(f"({ALONE})()")
        page = context.pages[0]
        open_shelf(page)
        tap(page.get_by_role("button", name="Add a bottle"))
        return page

    return open_phone


def test_barcode_is_read_under_the_served_policy(shop):
    page = shop(KNOWN)
    tap(page.get_by_role("button", name="Scan the barcode"))
    expect(page.get_by_text(KNOWN)).to_be_visible()
    assert page.evaluate(POLICY) == IN_FORCE


@pytest.mark.service_worker
def test_known_barcode_fills_the_pick_offline(shop, live_server):
    page = shop(KNOWN)
    page.evaluate(SAVE, BOOK)
    page.evaluate("() => navigator.serviceWorker.ready.then(() => undefined)")
    live_server.kill()
    page.reload()
    tap(page.get_by_role("button", name="Add a bottle"))
    tap(page.get_by_role("button", name="Scan the barcode"))
    expect(page.get_by_label("Name")).to_have_value("Sasso Vivo")
    expect(page.get_by_label("Alcohol on the label")).to_have_value("14.5")
    assert page.evaluate(POLICY) == IN_FORCE
    page.get_by_label("Price").fill("1,310")
    tap(page.get_by_role("button", name="Done"))
    expect(row(page, "Sasso Vivo 2019")).to_contain_text("Long and savoury.")
    assert [bottle["name"] for bottle in page.evaluate(RECORDS, "bottle")] == ["Sasso Vivo"]
    assert 1310 in [pick.get("price") for pick in page.evaluate(RECORDS, "pick")]


def test_new_barcode_is_stored_with_its_bottle(shop):
    page = shop(KNOWN)
    tap(page.get_by_role("button", name="Scan the barcode"))
    expect(page.get_by_text(KNOWN)).to_be_visible()
    page.get_by_role("textbox", name="Name").fill("Unseen Ledge")
    tap(page.get_by_role("button", name="Done"))
    expect(row(page, "Unseen Ledge")).to_be_visible()
    assert page.evaluate(RECORDS, "bottle")[0]["gtin"] == KNOWN


@pytest.mark.extended
def test_barcode_of_the_shop_range_is_not_stored(shop):
    page = shop(IN_STORE)
    tap(page.get_by_role("button", name="Scan the barcode"))
    expect(page.get_by_text("This is the shop’s own number")).to_be_visible()
    assert page.evaluate(RECORDS, "bottle") == []


@pytest.mark.extended
def test_barcode_typed_by_hand_is_validated(shop):
    page = shop(None)
    tap(page.get_by_role("button", name="Scan the barcode"))
    page.get_by_label("Or type the number").fill("6291041500214")
    expect(page.get_by_text("The last digit doesn’t match the others.")).to_be_visible()
    page.get_by_label("Or type the number").fill("629104 1500213")
    expect(page.get_by_text(KNOWN)).to_be_visible()


def test_barcode_without_camera_permission_is_explained(phone):
    page = phone().new_page()
    open_shelf(page)
    tap(page.get_by_role("button", name="Add a bottle"))
    tap(page.get_by_role("button", name="Scan the barcode"))
    expect(
        page.get_by_text("or type the number.").or_(page.get_by_text("You can type the number."))
    ).to_be_visible()
