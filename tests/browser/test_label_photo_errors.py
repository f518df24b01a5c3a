"""What is said when a label cannot be read; the note stays as it was and goes on."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.browser.engines import FLAGS, tap
from tests.browser.label_images import cat, jpeg, label
from tests.browser.label_page import (
    choose_picture,
    offer,
    open_reader,
    store_reader,
)
from tests.browser.pour_page import name_line, open_pour, quick_note, records

pytestmark = pytest.mark.browser
REFUSED = ["--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream=deny"]
NAME = "Vale do Corvo"
TEXT_FILE = {"name": "photo.jpg", "mimeType": "image/jpeg", "buffer": b"no picture"}


@pytest.fixture
def note(page: Page) -> Page:
    """Return a page with a begun note and the reader stored."""
    quick_note(open_pour(page), NAME)
    store_reader(page)
    return page


def note_goes_on(page: Page) -> None:
    """Check that the note is as it was, and save it."""
    page.keyboard.press("Escape")
    expect(page.locator("dialog[open]")).to_have_count(0)
    expect(name_line(page)).to_have_value(NAME)
    tap(page.locator(".at-thumb .primary"))
    expect(page.get_by_text(f"Saved: {NAME}")).to_be_visible()
    [bottle] = records(page, "bottle")
    assert bottle == {"id": bottle["id"], "name": NAME}


def test_refused_camera_leaves_the_choice_of_a_picture(phone):
    page = phone(args=[*FLAGS, *REFUSED]).pages[0]
    open_pour(page)
    store_reader(page)
    sheet = open_reader(page)
    expect(sheet.get_by_role("alert")).to_contain_text("The camera is not allowed here.")
    choose_picture(sheet, jpeg(label()))
    expect(offer(sheet, "Alcohol on the label")).to_contain_text("13.5%")


def test_missing_camera_is_explained(note):
    sheet = open_reader(note)
    expect(sheet.get_by_role("alert")).to_contain_text("No camera can be used here.")
    note_goes_on(note)


@pytest.mark.parametrize(
    ("file", "text"),
    [
        (jpeg(cat()), "No text could be read in this picture."),
        (TEXT_FILE, "This file can’t be read as a picture."),
    ],
    ids=["cat", "no picture"],
)
def test_unreadable_picture_is_explained(note, file, text):
    sheet = open_reader(note)
    choose_picture(sheet, file)
    expect(sheet.get_by_role("alert")).to_contain_text(text)
    expect(sheet.get_by_text("Your note is as it was.")).to_be_visible()
    note_goes_on(note)


def test_ended_worker_leaves_the_note_as_it_was(note):
    sheet = open_reader(note)
    with note.expect_event("worker") as started:
        choose_picture(sheet, jpeg(label()))
    started.value.evaluate("() => { setTimeout(() => { throw new Error('killed'); }); }")
    expect(sheet.get_by_role("alert")).to_contain_text("Nothing could be read")
    expect(sheet.get_by_text("Your note is as it was.")).to_be_visible()
    note_goes_on(note)


def test_closing_the_sheet_ends_the_worker(note):
    sheet = open_reader(note)
    with note.expect_event("worker") as started:
        choose_picture(sheet, jpeg(label()))
    with started.value.expect_event("close"):
        tap(sheet.get_by_role("button", name="Close"))
    note_goes_on(note)


def test_stopped_reading_leads_back_to_the_camera(note):
    sheet = open_reader(note)
    with note.expect_event("worker") as started:
        choose_picture(sheet, jpeg(label()))
    with started.value.expect_event("close"):
        tap(sheet.get_by_role("button", name="Stop"))
    choose_picture(sheet, jpeg(label()))
    expect(offer(sheet, "Alcohol on the label")).to_contain_text("13.5%")
