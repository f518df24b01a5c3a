"""Reading a label or a list from a photo: what is proposed, what is written, what can go wrong."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.browser.engines import FLAGS, tap
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
CAMERA = ["--use-fake-device-for-media-stream"]
ALLOWED = [*CAMERA, "--use-fake-ui-for-media-stream"]


@pytest.fixture(scope="module")
def film_flag(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Return the flag that makes the camera show a label with a barcode."""
    file = film(label(KNOWN), tmp_path_factory.mktemp("film") / "label.y4m")
    return f"--use-file-for-fake-video-capture={file}"


def read_label(page: Page):
    """Read the label from a file, with the reader stored."""
    sheet = open_reader(page)
    choose_picture(sheet, jpeg(label()))
    expect(sheet.get_by_role("button", name="Use these")).to_be_visible()
    return sheet


@pytest.fixture
def note(page: Page) -> Page:
    """Return a page with an empty note and the reader stored."""
    open_pour(page)
    store_reader(page)
    return page


@pytest.mark.service_worker
def test_label_is_read_by_camera_offline(phone, live_server, film_flag):
    page = phone(args=[*FLAGS, *ALLOWED, film_flag]).pages[0]
    open_pour(page)
    sheet = open_reader(page)
    expect(sheet.get_by_text(SIZE)).to_be_visible()
    assert not is_stored(page)
    tap(sheet.get_by_role("button", name="Fetch it"))
    expect(sheet.get_by_role("button", name="Take the picture")).to_be_enabled()
    wait_for_offline_copy(page)
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


def test_picked_bottle_is_read_by_camera(phone, film_flag):
    page = phone(args=[*FLAGS, *ALLOWED, film_flag]).pages[0]
    open_shelf(page)
    store_reader(page)
    tap(page.get_by_role("button", name="Add a bottle"))
    sheet = open_reader(page)
    take_picture(sheet)
    tap(sheet.get_by_text("Keep the photo with this bottle"))
    use(sheet)
    expect(page.get_by_label("Alcohol on the label")).to_have_value("13.5")
    page.get_by_role("textbox", name="Name").fill("Sasso Vivo")
    tap(page.get_by_role("button", name="Done"))
    expect(row(page, "Sasso Vivo 2019")).to_contain_text("13.5%")
    wait_until(page, lambda: records(page, "photo"), "the photo's record")
    assert records(page, "photo")[0]["bottle"] == records(page, "bottle")[0]["id"]


def test_values_taken_on_the_shelf_can_be_put_back(page):
    open_shelf(page)
    store_reader(page)
    tap(page.get_by_role("button", name="Add a bottle"))
    use(read_label(page))
    expect(page.get_by_label("Alcohol on the label")).to_have_value("13.5")
    tap(page.get_by_role("button", name="Undo"))
    expect(page.get_by_label("Alcohol on the label")).to_have_value("")


def test_only_ticked_values_are_written(note):
    sheet = read_label(note)
    expect(tick(sheet, "Vintage")).to_be_checked()
    tap(offer(sheet, "Vintage").locator("label"))
    use(sheet)
    written(note)
    [bottle] = records(note, "bottle")
    assert bottle["label_abv"] == 13.5
    assert "vintage" not in bottle
    assert records(note, "photo") == []


def test_closed_sheet_writes_nothing(note):
    sheet = read_label(note)
    tap(sheet.get_by_role("button", name="Close"))
    expect(note.get_by_role("button", name="Read the label")).to_be_focused()
    assert records(note, "tasting") == records(note, "bottle") == []


def test_value_of_the_taster_is_replaced_only_by_a_tick(note):
    control = note.locator('[data-field="bottle.label_abv"] input')
    control.fill("12.5")
    sheet = read_label(note)
    expect(offer(sheet, "Alcohol on the label")).to_contain_text("You have: 12.5%")
    expect(tick(sheet, "Alcohol on the label")).not_to_be_checked()
    use(sheet)
    expect(note.locator('[data-field="bottle.vintage"] input')).to_have_value("2019")
    expect(control).to_have_value("12.5")
    sheet = read_label(note)
    tap(offer(sheet, "Alcohol on the label").locator("label"))
    use(sheet)
    expect(control).to_have_value("13.5")
    tap(note.locator(".toast").get_by_role("button", name="Undo"))
    expect(control).to_have_value("12.5")


def test_lines_become_the_names(note):
    sheet = read_label(note)
    for line, role in (("Sasso Vivo", "Name"), ("Tenuta Borgolungo", "Producer")):
        tap(sheet.get_by_role("group", name=line).get_by_role("button", name=role))
    use(sheet)
    expect(name_line(note)).to_have_value("Sasso Vivo")
    written(note)
    assert records(note, "bottle")[0]["producer"] == "Tenuta Borgolungo"


def test_photo_is_kept_with_the_note_if_ticked(note):
    sheet = read_label(note)
    tap(sheet.get_by_text("Keep the photo with this note"))
    use(sheet)
    expect(note.get_by_text("Photo saved with this note.")).to_be_visible()
    assert records(note, "photo")[0]["tasting"] == records(note, "tasting")[0]["id"]


def test_label_is_read_on_the_bottle_step(note):
    thumb = open_pour(note)
    quick_note(thumb, "Sasso Vivo")
    thumb.step("Bottle")
    use(read_label(note))
    expect(note.locator('[data-field="bottle.label_abv"] input')).to_have_value("13.5")


def test_known_barcode_leads_to_the_bottle(phone, film_flag):
    page = phone(args=[*FLAGS, *ALLOWED, film_flag]).pages[0]
    open_pour(page)
    store_reader(page)
    page.evaluate(SAVE, [{"kind": "bottle", "id": BOTTLE, "fields": KNOWN_WINE}])
    sheet = open_reader(page)
    take_picture(sheet)
    expect(sheet.get_by_text("The barcode is in your notes: Sasso Vivo 2017")).to_be_visible()
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
    expect(page.get_by_text("3 lines read from the photo")).to_be_visible()
    expect(page.locator(".import-row .photo-piece")).to_have_count(3)
    assert records(page, "pick") == []
    tap(page.get_by_role("button", name="Add 3 bottles"))
    expect(rows(page)).to_have_count(3)
    expect(row(page, "Ottersbrunn Riesling 2021")).to_contain_text("31")


def test_proposals_pass_axe_and_fit_the_screen(note):
    sheet = read_label(note)
    expect(sheet.locator(".photo-piece").first).to_be_visible()
    assert axe(note, {"rules": {"target-size": {"enabled": True}}}) == []
    assert note.evaluate(SMALL) == note.evaluate(SIDEWAYS) == []
    note.emulate_media(color_scheme="dark")
    assert axe(note, COLOURS) == []


def test_label_is_read_by_keyboard_alone(note):
    note.get_by_role("button", name="Read the label").focus()
    note.keyboard.press("Enter")
    sheet = note.get_by_role("dialog", name="Read the label")
    choose_picture(sheet, jpeg(label()))
    tick(sheet, "Vintage").focus()
    note.keyboard.press("Space")
    expect(tick(sheet, "Vintage")).not_to_be_checked()
    sheet.get_by_role("button", name="Use these").focus()
    note.keyboard.press("Enter")
    expect(note.locator('[data-field="bottle.label_abv"] input')).to_have_value("13.5")
    expect(note.get_by_role("button", name="Read the label")).to_be_focused()
