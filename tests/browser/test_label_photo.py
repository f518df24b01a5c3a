"""Reading a label or a list from a photo: what is proposed and what is written.

One test reads a label with the true engine, by the browser's camera and without a network. The
others repeat what the engine read in the first photo of the file (`label_readings`).
"""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.any_page import items
from tests.browser.engines import FLAGS, tap
from tests.browser.fake_camera import use_camera
from tests.browser.label_images import film, jpeg, label, wine_list
from tests.browser.label_page import (
    SIZE,
    choose_picture,
    is_stored,
    offer,
    open_reader,
    store_reader,
    take_picture,
    tick,
    use,
)
from tests.browser.label_worker import STORE, Readings, call, open_blank, repeat
from tests.browser.live_server import LiveServer
from tests.browser.pour_page import (
    name_line,
    open_pour,
    quick_note,
    records,
    wait_for_offline_copy,
    written,
)
from tests.browser.screen_checks import COLOURS, SIDEWAYS, SMALL, axe
from tests.browser.shelf_page import open_shelf, row, rows
from tests.browser.waiting import wait_until

pytestmark = pytest.mark.browser

# GS1, "How to calculate a check digit": 629104150021 has the check digit 3.
KNOWN = "6291041500213"
BOTTLE = "01900000-0000-7000-8000-00000000e001"
KNOWN_WINE = {"name": "Sasso Vivo", "vintage": 2017, "gtin": KNOWN}
SAVE = "async (edits) => (await import('/store/write.js')).saveMany(edits)"
CAMERA = ["--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream"]
# The bundled reader of barcodes costs as much as the app.
NO_BARCODES = """globalThis.BarcodeDetector = class {
  static getSupportedFormats = async () => ['ean_13', 'ean_8', 'upc_a', 'upc_e'];
  detect = async () => [];
};"""
LABEL, LABEL_WITH_CODE = jpeg(label()), jpeg(label(KNOWN))


@pytest.fixture(scope="module")
def film_flag(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Return the flag that makes the camera show a label with a barcode."""
    file = film(label(KNOWN), tmp_path_factory.mktemp("film") / "label.y4m")
    return f"--use-file-for-fake-video-capture={file}"


@pytest.fixture(scope="module")
def label_readings(server: LiveServer, browser: Browser) -> Readings:
    """Return what the true worker reads in the label."""
    with browser.new_context(base_url=server.url, service_workers="block") as context:
        page = context.new_page()
        open_blank(page)
        page.evaluate(STORE)
        readings: Readings = call(page, "readLabel", LABEL["buffer"])["readings"]
        return readings


def read_label(page: Page):
    """Read the label from a file, with the reader stored."""
    sheet = open_reader(page)
    choose_picture(sheet, LABEL)
    expect(sheet.get_by_role("button", name="Use these")).to_be_visible()
    return sheet


@pytest.fixture
def reads(page: Page, label_readings: Readings) -> Page:
    """Return a page on which every photo is read as the label, without a barcode."""
    page.add_init_script(NO_BARCODES)
    repeat(page, label_readings)
    return page


@pytest.fixture
def note(reads: Page) -> Page:
    """Return a page with an empty note and the reader stored."""
    open_pour(reads)
    store_reader(reads)
    return reads


@pytest.fixture
def shelf(reads: Page) -> Page:
    """Return a page with the sheet that adds a bottle, and the reader stored."""
    use_camera(reads, LABEL)
    open_shelf(reads)
    store_reader(reads)
    tap(reads.get_by_role("button", name="Add a bottle"))
    return reads


@pytest.mark.service_worker
def test_label_is_read_by_camera_offline(phone, live_server, film_flag):
    page = phone(args=[*FLAGS, *CAMERA, film_flag]).pages[0]
    open_pour(page)
    wait_for_offline_copy(page)
    live_server.kill()
    sheet = open_reader(page)
    expect(sheet.get_by_text(SIZE)).to_be_visible()
    tap(sheet.get_by_role("button", name="Download"))
    expect(sheet.get_by_role("alert")).to_contain_text("You’re offline, so the label reader")
    assert not is_stored(page)
    live_server.start()
    tap(sheet.get_by_role("button", name="Download"))
    expect(sheet.get_by_role("button", name="Take the photo")).to_be_enabled()
    live_server.kill()
    page.reload()
    sheet = open_reader(page)
    take_picture(sheet)
    expect(offer(sheet, "Alcohol on the label")).to_contain_text("13.5%")
    expect(offer(sheet, "Vintage")).to_contain_text("2019")
    expect(offer(sheet, "Barcode number")).to_contain_text(KNOWN)
    assert records(page, "tasting") == records(page, "bottle") == []
    use(sheet)
    written(page)
    [bottle] = records(page, "bottle")
    assert (bottle["label_abv"], bottle["vintage"], bottle["gtin"]) == (13.5, 2019, KNOWN)


@pytest.mark.extended
def test_picked_bottle_is_read_by_camera(shelf):
    """Values that were put back are read again, now with the photo."""
    use(read_label(shelf))
    alcohol = shelf.get_by_label("Alcohol on the label")
    expect(alcohol).to_have_value("13.5")
    tap(shelf.get_by_role("button", name="Undo"))
    expect(alcohol).to_have_value("")
    sheet = open_reader(shelf)
    take_picture(sheet)
    tap(sheet.get_by_text("Keep the photo with this bottle"))
    use(sheet)
    expect(shelf.get_by_text("taken from the label. Photo kept with this bottle.")).to_be_visible()
    expect(alcohol).to_have_value("13.5")
    shelf.get_by_role("textbox", name="Name").fill("Sasso Vivo")
    tap(shelf.get_by_role("button", name="Done"))
    expect(row(shelf, "Sasso Vivo 2019")).to_contain_text("13.5%")
    wait_until(shelf, lambda: records(shelf, "photo"), "the photo's record")
    assert records(shelf, "photo")[0]["bottle"] == records(shelf, "bottle")[0]["id"]


def test_only_what_is_ticked_is_written(note):
    sheet = read_label(note)
    expect(tick(sheet, "Vintage")).to_be_checked()
    tap(offer(sheet, "Vintage").locator("label"))
    for line, role in (("Sasso Vivo", "Name"), ("Tenuta Borgolungo", "Producer")):
        tap(sheet.get_by_role("group", name=line).get_by_role("button", name=role))
    use(sheet)
    expect(name_line(note)).to_have_value("Sasso Vivo")
    written(note)
    [bottle] = records(note, "bottle")
    assert (bottle["label_abv"], bottle["producer"]) == (13.5, "Tenuta Borgolungo")
    assert "vintage" not in bottle
    assert records(note, "photo") == []
    sheet = read_label(note)
    tap(sheet.get_by_text("Keep the photo with this note"))
    use(sheet)
    expect(note.get_by_text("Photo saved with this note.")).to_be_visible()
    assert records(note, "photo")[0]["tasting"] == records(note, "tasting")[0]["id"]


@pytest.mark.extended
def test_closed_sheet_writes_nothing(note):
    """The proposals pass axe, by day and by night, and fit the screen."""
    sheet = read_label(note)
    expect(sheet.get_by_role("img", name="In the photo").first).to_be_visible()
    assert axe(note, {"rules": {"target-size": {"enabled": True}}}) == []
    assert note.evaluate(SMALL) == note.evaluate(SIDEWAYS) == []
    note.emulate_media(color_scheme="dark")
    assert axe(note, COLOURS) == []
    tap(sheet.get_by_role("button", name="Close"))
    expect(note.get_by_role("button", name="Read the label")).to_be_focused()
    assert records(note, "tasting") == records(note, "bottle") == []


@pytest.mark.extended
def test_value_of_the_taster_is_replaced_only_by_a_tick(note):
    control = note.get_by_label("Alcohol", exact=True)
    control.fill("12.5")
    sheet = read_label(note)
    expect(offer(sheet, "Alcohol on the label")).to_contain_text("You have: 12.5%")
    expect(tick(sheet, "Alcohol on the label")).not_to_be_checked()
    use(sheet)
    expect(note.get_by_label("Vintage", exact=True)).to_have_value("2019")
    expect(control).to_have_value("12.5")
    sheet = read_label(note)
    tap(offer(sheet, "Alcohol on the label").locator("label"))
    use(sheet)
    expect(control).to_have_value("13.5")
    tap(note.get_by_role("button", name="Undo"))
    expect(control).to_have_value("12.5")


@pytest.mark.extended
def test_label_is_read_on_the_bottle_step(note):
    thumb = open_pour(note)
    quick_note(thumb, "Sasso Vivo")
    thumb.step("Bottle")
    use(read_label(note))
    expect(thumb.control("bottle.label_abv").get_by_role("textbox")).to_have_value("13.5")


@pytest.mark.extended
def test_known_barcode_leads_to_the_bottle(page, label_readings):
    repeat(page, label_readings)
    open_pour(page)
    store_reader(page)
    page.evaluate(SAVE, [{"kind": "bottle", "id": BOTTLE, "fields": KNOWN_WINE}])
    sheet = open_reader(page)
    choose_picture(sheet, LABEL_WITH_CODE)
    expect(sheet.get_by_text("The barcode is in your notes: Sasso Vivo 2017")).to_be_visible()
    expect(offer(sheet, "Barcode number").get_by_role("img", name="In the photo")).to_have_count(1)
    tap(sheet.get_by_role("button", name="Use this bottle"))
    expect(page.get_by_text("You know this wine.")).to_be_visible()
    expect(name_line(page)).to_have_value("Sasso Vivo")
    written(page)
    assert records(page, "tasting")[0]["bottle"] == BOTTLE
    assert records(page, "bottle") == [{"id": BOTTLE, **KNOWN_WINE}]


def test_list_is_read_into_the_preview(page):
    open_shelf(page)
    store_reader(page)
    tap(page.get_by_role("button", name="Add a list"))
    tap(page.get_by_role("button", name="Take a photo"))
    sheet = page.get_by_role("dialog", name="Read a list")
    choose_picture(sheet, jpeg(wine_list()))
    expect(page.get_by_text("3 lines read")).to_be_visible()
    expect(items(page, "3 bottles to add").get_by_role("img", name="In the photo")).to_have_count(3)
    assert records(page, "pick") == []
    tap(page.get_by_role("button", name="Add 3 bottles"))
    expect(rows(page)).to_have_count(3)
    expect(row(page, "Ottersbrunn Riesling 2021")).to_contain_text("31")


@pytest.mark.extended
def test_label_is_read_by_keyboard_alone(note):
    note.get_by_role("button", name="Read the label").focus()
    note.keyboard.press("Enter")
    sheet = note.get_by_role("dialog", name="Read the label")
    choose_picture(sheet, LABEL)
    tick(sheet, "Vintage").focus()
    note.keyboard.press("Space")
    expect(tick(sheet, "Vintage")).not_to_be_checked()
    sheet.get_by_role("button", name="Use these").focus()
    note.keyboard.press("Enter")
    expect(note.get_by_label("Alcohol", exact=True)).to_have_value("13.5")
    expect(note.get_by_role("button", name="Read the label")).to_be_focused()
