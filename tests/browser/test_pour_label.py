"""What the quick note takes from the label: the vintage, a photo and the barcode."""

from __future__ import annotations

import re
from io import BytesIO

import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from tests.browser.any_page import primary_action, wrong_fields
from tests.browser.engines import tap
from tests.browser.pour_page import covered_name, name_line, open_pour, quick_note, records, written

pytestmark = pytest.mark.browser

# GS1, "How to calculate a check digit": 629104150021 has the check digit 3.
TAKE_PHOTO = "Photo of the label"
KNOWN = "6291041500213"


PLACES = """() => [...document.querySelectorAll('main input, main button, main a, main textarea')]
  .filter((one) => !one.closest('.chips, .offers'))
  .map((one) => Math.round(one.getBoundingClientRect().top))"""


def leave_name(page: Page) -> None:
    name_line(page).press("Tab")


def picture() -> bytes:
    out = BytesIO()
    Image.new("RGB", (60, 80), "olive").save(out, "JPEG")
    return out.getvalue()


def add_photo(page: Page) -> None:
    page.get_by_label(TAKE_PHOTO).set_input_files(
        {"name": "label.jpg", "mimeType": "image/jpeg", "buffer": picture()}
    )
    expect(page.get_by_text("Photo saved with this note.")).to_be_visible()


def test_year_in_the_name_moves_to_the_vintage(page):
    thumb = open_pour(page)
    quick_note(thumb, "Vale do Corvo 2019")
    leave_name(page)
    expect(thumb.control("bottle.vintage").locator("input")).to_have_value("2019")
    expect(name_line(page)).to_have_value("Vale do Corvo")
    written(page)
    [bottle] = records(page, "bottle")
    assert (bottle["name"], bottle["vintage"]) == ("Vale do Corvo", 2019)


def test_leaving_the_name_moves_nothing_on_the_page(page):
    thumb = open_pour(page)
    quick_note(thumb, "Vale do Corvo 2019")
    before = page.evaluate(PLACES)
    leave_name(page)
    expect(page.get_by_text("2019 is now the vintage")).to_be_visible()
    assert page.evaluate(PLACES) == before


@pytest.mark.extended
def test_vintage_typed_over_a_moved_year_is_not_doubled(page):
    thumb = open_pour(page)
    quick_note(thumb, "Vale do Corvo 2019")
    leave_name(page)
    vintage = thumb.control("bottle.vintage").locator("input")
    expect(vintage).to_have_value("2019")
    page.keyboard.type("2019")
    expect(vintage).to_have_value("2019")
    expect(wrong_fields(page)).to_have_count(0)


@pytest.mark.extended
def test_year_typed_in_both_fields_leaves_the_name(page):
    thumb = open_pour(page)
    quick_note(thumb, "Vale do Corvo")
    thumb.type_into("bottle.vintage", "2019")
    name_line(page).fill("Vale do Corvo 2019")
    leave_name(page)
    vintage = thumb.control("bottle.vintage").locator("input")
    vintage.press("Tab")
    expect(name_line(page)).to_have_value("Vale do Corvo")
    expect(vintage).to_have_value("2019")


def test_year_moves_when_the_note_is_saved_at_once(page):
    thumb = open_pour(page)
    quick_note(thumb, "Vale do Corvo 2019")
    primary_action(page).evaluate("button => button.click()")
    expect(page.get_by_text("Saved: Vale do Corvo 2019")).to_be_visible()
    [bottle] = records(page, "bottle")
    assert (bottle["name"], bottle["vintage"]) == ("Vale do Corvo", 2019)


@pytest.mark.extended
def test_moved_year_can_be_put_back_for_good(page):
    thumb = open_pour(page)
    quick_note(thumb, "Vale do Corvo 2019")
    leave_name(page)
    thumb.press(page.get_by_role("button", name="It’s part of the name"))
    expect(name_line(page)).to_have_value("Vale do Corvo 2019")
    name_line(page).focus()
    leave_name(page)
    thumb.primary()
    expect(page.get_by_text("Saved: Vale do Corvo 2019")).to_be_visible()
    [bottle] = records(page, "bottle")
    assert bottle["name"] == "Vale do Corvo 2019"
    assert "vintage" not in bottle


@pytest.mark.extended
def test_doubtful_year_is_offered_as_vintage(page):
    thumb = open_pour(page)
    quick_note(thumb, "Casa Alta 1904")
    leave_name(page)
    offer = page.get_by_role("button", name="Use 1904 as the vintage")
    expect(offer).to_be_visible()
    expect(name_line(page)).to_have_value("Casa Alta 1904")
    thumb.press(offer)
    expect(name_line(page)).to_have_value("Casa Alta")
    written(page)
    assert records(page, "bottle")[0]["vintage"] == 1904


@pytest.mark.extended
def test_name_of_a_known_bottle_keeps_its_year(page):
    thumb = open_pour(page)
    quick_note(thumb, "Nove 2019")
    leave_name(page)
    thumb.press(page.get_by_role("button", name="It’s part of the name"))
    thumb.primary()
    expect(name_line(page)).to_have_value("")
    quick_note(thumb, "nove 2019")
    leave_name(page)
    expect(page.get_by_role("button", name="Use 2019 as the vintage")).to_be_visible()
    expect(name_line(page)).to_have_value("nove 2019")


def test_quick_note_takes_three_taps_besides_typing(page):
    thumb = open_pour(page)
    quick_note(thumb, "Vale do Corvo 2019", liking=0.76)
    thumb.primary()
    expect(page.get_by_text("Saved: Vale do Corvo 2019")).to_be_visible()
    assert thumb.taps == 3
    assert records(page, "tasting")[0]["liking"] == 7


@pytest.mark.parametrize(
    ("producer", "vintage", "first"),
    [
        pytest.param("", "2019", "Bottle", marks=pytest.mark.extended),
        ("Casa Alta", "", "Bottle"),
        pytest.param("Casa Alta", "2019", "Look", marks=pytest.mark.extended),
    ],
)
def test_full_tasting_begins_with_what_is_missing(page, producer, vintage, first):
    thumb = open_pour(page)
    quick_note(thumb, "Vale do Corvo", "alvarinho")
    thumb.step("Bottle")
    if producer:
        thumb.type_into("bottle.producer", producer)
    if vintage:
        thumb.type_into("bottle.vintage", vintage)
    tap(page.get_by_role("link", name="Vale do Corvo"))
    thumb.press(page.get_by_role("link", name="Taste step by step"))
    expect(page.get_by_role("heading", level=1)).to_have_text(first)


def test_label_photo_is_kept_with_the_note(page):
    thumb = open_pour(page)
    quick_note(thumb, "Vale do Corvo")
    add_photo(page)
    expect(page.get_by_role("main").get_by_role("img")).to_have_count(1)
    thumb.primary()
    expect(page.get_by_text("Saved: Vale do Corvo")).to_be_visible()
    [tasting], [photo] = records(page, "tasting"), records(page, "photo")
    assert photo["tasting"] == tasting["id"]
    page.goto(f"/#/book/{tasting['id']}")
    expect(page.get_by_role("main").get_by_role("img")).to_have_count(1)


def test_photo_alone_makes_a_note(page):
    thumb = open_pour(page)
    add_photo(page)
    thumb.primary()
    expect(page.get_by_text(re.compile("^Saved: "))).to_be_visible()
    [tasting] = records(page, "tasting")
    assert records(page, "photo")[0]["tasting"] == tasting["id"]
    assert "closed_at" in tasting


def scan(page: Page, digits: str) -> None:
    tap(page.get_by_role("button", name="Scan the barcode"))
    page.get_by_label("Or type the number").fill(digits)


def test_barcode_is_saved_and_found_again(page):
    thumb = open_pour(page)
    quick_note(thumb, "Sasso Vivo")
    scan(page, KNOWN)
    expect(page.get_by_text("New barcode. Saved with this wine.")).to_be_visible()
    thumb.primary()
    expect(name_line(page)).to_have_value("")
    scan(page, KNOWN)
    expect(page.get_by_text("You know this wine.")).to_be_visible()
    expect(page.get_by_text("Tasted once before")).to_be_visible()
    thumb.judge("liking", 0.5)
    thumb.primary()
    expect(name_line(page)).to_have_value("")
    [bottle] = records(page, "bottle")
    assert (bottle["name"], bottle["gtin"]) == ("Sasso Vivo", KNOWN)


def test_covered_label_offers_no_photo_or_barcode(page):
    thumb = open_pour(page)
    quick_note(thumb, "Vale do Corvo")
    expect(page.get_by_label(TAKE_PHOTO)).to_be_attached()
    expect(page.get_by_role("button", name="Scan the barcode")).to_be_visible()
    thumb.step("Bottle")
    thumb.press(page.get_by_role("button", name="Cover the label"))
    tap(page.get_by_role("link", name="Covered bottle"))
    expect(covered_name(page)).to_be_visible()
    expect(page.get_by_label(TAKE_PHOTO)).to_have_count(0)
    expect(page.get_by_role("button", name="Scan the barcode")).to_have_count(0)


def test_plain_colour_is_offered_and_found_in_each_language(page):
    thumb = open_pour(page)
    style = thumb.control("bottle.style")
    thumb.press(style.get_by_role("button"))
    sheet = page.get_by_role("dialog", name="Style")
    first = sheet.get_by_role("listitem").first
    expect(first).to_have_text("Not sure which")
    sheet.get_by_role("searchbox").fill("rosso")
    red = sheet.get_by_role("listitem").get_by_role("button").first
    expect(red).to_have_text("Red")
    thumb.press(red)
    expect(style.get_by_role("button")).to_contain_text("Red")
    written(page)
    [bottle] = records(page, "bottle")
    assert (bottle.get("style"), bottle["colour"], bottle["kind"]) == (None, "red", "still")


@pytest.mark.extended
def test_styles_stand_under_headings_in_alphabetical_order(page):
    thumb = open_pour(page)
    thumb.press(thumb.control("bottle.style").get_by_role("button"))
    sheet = page.get_by_role("dialog", name="Style")
    headings = sheet.get_by_role("listitem").get_by_role("heading")
    expect(headings.last).to_have_text("Fortified")
    titles = headings.all_inner_texts()
    assert titles[:3] == ["Not sure which", "Red", "White"]
    rows = [text.splitlines()[0] for text in sheet.get_by_role("listitem").all_inner_texts()]
    reds = rows[rows.index("Red", rows.index("Red") + 1) + 1 :][:5]
    assert reds == sorted(reds, key=str.casefold)
