"""What is said when a label cannot be read; the note stays as it was and goes on.

The tests of the file share one page, whose note none of them may change.
"""

from __future__ import annotations

import io
from collections.abc import Iterator

import pytest
from PIL import Image
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.any_page import primary_action
from tests.browser.blocked_sync import block_sync
from tests.browser.engines import FLAGS, PHONE, tap
from tests.browser.label_images import cat, jpeg, label
from tests.browser.label_page import (
    choose_picture,
    is_stored,
    offer,
    open_reader,
    store_reader,
)
from tests.browser.label_worker import OUT_OF_MEMORY, REMOVE, WAITS, Readings, repeat, use_worker
from tests.browser.live_server import LiveServer
from tests.browser.pour_page import name_line, open_pour, quick_note, records, written
from tests.browser.waiting import LIMIT_S

pytestmark = pytest.mark.browser
REFUSED = ["--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream=deny"]
NAME = "Vale do Corvo"
LABEL = jpeg(label())
# One line of a label, as the worker answers it.
BOX = {"x": 100, "y": 100, "width": 300, "height": 40}
LINE = {"text": "13,5% vol", "confidence": 0.9, "box": BOX, "flat": BOX, "at": 0, "words": []}
READINGS: Readings = [[LINE], [LINE]]


def file(body: bytes, name: str = "photo.jpg", kind: str = "image/jpeg") -> dict[str, object]:
    return {"name": name, "mimeType": kind, "buffer": body}


def huge() -> bytes:
    """Return a photo of fifty million pixels."""
    out = io.BytesIO()
    Image.new("L", (6200, 8100), 240).save(out, "JPEG", quality=60)
    return out.getvalue()


@pytest.fixture(scope="module")
def started(server: LiveServer, browser: Browser) -> Iterator[Page]:
    """Open a page with a note and the reader stored."""
    with browser.new_context(base_url=server.url, **PHONE, service_workers="block") as context:
        block_sync(context)
        context.set_default_timeout(LIMIT_S * 1000)
        page = context.new_page()
        quick_note(open_pour(page), NAME)
        written(page)
        store_reader(page)
        yield page


@pytest.fixture
def note(started: Page) -> Iterator[Page]:
    """Return the page; check that the test has left the note as it was."""
    before = records(started, "bottle"), records(started, "tasting")
    yield started
    started.unroute_all()
    started.keyboard.press("Escape")
    expect(started.locator("dialog[open]")).to_have_count(0)
    expect(name_line(started)).to_have_value(NAME)
    assert (records(started, "bottle"), records(started, "tasting")) == before


def expect_failure(sheet: Locator, text: str) -> None:
    expect(sheet.get_by_role("alert")).to_contain_text(text)
    expect(sheet.get_by_text("Everything you entered is as it was.")).to_be_visible()


def test_refused_camera_leaves_the_choice_of_a_picture(phone):
    page = phone(args=[*FLAGS, *REFUSED]).pages[0]
    repeat(page, READINGS)
    open_pour(page)
    store_reader(page)
    sheet = open_reader(page)
    expect(sheet.get_by_role("alert")).to_contain_text("The camera isn’t allowed here.")
    choose_picture(sheet, LABEL)
    expect(offer(sheet, "Alcohol on the label")).to_contain_text("13.5%")


def test_missing_camera_is_explained(note):
    sheet = open_reader(note)
    expect(sheet.get_by_role("alert")).to_contain_text("No camera can be used here.")


@pytest.mark.parametrize(
    ("picture", "text"),
    [
        (jpeg(cat()), "No text could be read in this photo."),
        pytest.param(
            file(huge()),
            "No text could be read in this photo.",
            marks=pytest.mark.extended,
        ),
        (file(b""), "This file can’t be opened as a photo."),
        (file(b"no picture"), "This file can’t be opened as a photo."),
        (file(bytes(4000), "photo.heic", "image/heic"), "This file can’t be opened as a photo."),
    ],
    ids=["cat", "50 megapixels", "empty", "corrupt", "HEIC"],
)
def test_unreadable_picture_is_explained(note, picture, text):
    sheet = open_reader(note)
    choose_picture(sheet, picture)
    expect_failure(sheet, text)
    tap(sheet.get_by_role("button", name="Take another photo"))
    expect(sheet.locator("input[accept='image/*']")).to_have_count(1)


def test_ended_worker_leaves_the_note_as_it_was(note):
    use_worker(note, WAITS)
    sheet = open_reader(note)
    with note.expect_event("worker") as worker:
        choose_picture(sheet, LABEL)
    worker.value.evaluate("() => { setTimeout(() => { throw new Error('killed'); }); }")
    expect_failure(sheet, "The label reader stopped")


def test_phone_without_memory_is_explained(note):
    use_worker(note, OUT_OF_MEMORY)
    sheet = open_reader(note)
    choose_picture(sheet, LABEL)
    expect_failure(sheet, "too little memory")


@pytest.fixture
def full(note: Page) -> Iterator[Page]:
    """Return the page without the reader, on a phone without room for it."""
    note.evaluate(REMOVE)
    session = note.context.new_cdp_session(note)
    origin = note.evaluate("location.origin")
    used = note.evaluate("async () => (await navigator.storage.estimate()).usage")
    quota = {"origin": origin, "quotaSize": used + 300_000}
    session.send("Storage.overrideQuotaForOrigin", quota)
    yield note
    session.send("Storage.overrideQuotaForOrigin", {"origin": origin})
    session.detach()
    store_reader(note)


def test_phone_without_room_is_explained(full):
    sheet = open_reader(full)
    tap(sheet.get_by_role("button", name="Download"))
    expect(sheet.get_by_role("alert")).to_contain_text(
        "This phone has no room for the label reader."
    )
    assert not is_stored(full)


@pytest.mark.parametrize(
    ("fault", "text"),
    [
        (lambda route: route.abort(), "You’re offline, so the label reader"),
        (lambda route: route.fulfill(body=b"cut off"), "The label reader couldn’t be downloaded."),
        (lambda route: route.fulfill(status=503), "The label reader couldn’t be downloaded."),
    ],
    ids=["offline", "cut_off", "refused"],
)
def test_interrupted_fetch_is_repeated(note, fault, text):
    note.evaluate(REMOVE)
    note.route("**/vendor/tesseract/fra*", fault)
    sheet = open_reader(note)
    tap(sheet.get_by_role("button", name="Download"))
    expect(sheet.get_by_role("alert")).to_contain_text(text)
    assert not is_stored(note)
    note.unroute_all()
    tap(sheet.get_by_role("button", name="Download"))
    expect(sheet.locator("input[accept='image/*']")).to_have_count(1)
    assert is_stored(note)


def test_closing_the_sheet_ends_the_worker(note):
    use_worker(note, WAITS)
    sheet = open_reader(note)
    with note.expect_event("worker") as worker:
        choose_picture(sheet, LABEL)
    with worker.value.expect_event("close"):
        tap(sheet.get_by_role("button", name="Close"))


def test_stopped_reading_leads_back_to_the_camera(note):
    use_worker(note, WAITS)
    sheet = open_reader(note)
    with note.expect_event("worker") as worker:
        choose_picture(sheet, LABEL)
    with worker.value.expect_event("close"):
        tap(sheet.get_by_role("button", name="Stop"))
    repeat(note, READINGS)
    choose_picture(sheet, LABEL)
    expect(offer(sheet, "Alcohol on the label")).to_contain_text("13.5%")


def test_note_is_saved_after_a_failure(page):
    quick_note(open_pour(page), NAME)
    store_reader(page)
    sheet = open_reader(page)
    choose_picture(sheet, file(b"no picture"))
    expect_failure(sheet, "This file can’t be opened as a photo.")
    tap(sheet.get_by_role("button", name="Close"))
    tap(primary_action(page))
    expect(page.get_by_text(f"Saved: {NAME}")).to_be_visible()
    [bottle] = records(page, "bottle")
    assert bottle == {"id": bottle["id"], "name": NAME}
