"""The camera of the label reader: its photo, its light, and what stands in for them."""

from __future__ import annotations

from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import Locator, Page, expect

from tests.browser.engines import tap
from tests.browser.fake_camera import use_camera
from tests.browser.label_images import jpeg, label
from tests.browser.label_page import open_reader, store_reader, take_picture
from tests.browser.label_worker import WAITS, use_worker
from tests.browser.pour_page import open_pour

pytestmark = pytest.mark.browser
VIEW = jpeg(label().resize((540, 720)))
STILL = jpeg(label())
PREVIEW_SIZE = "async (image) => (await image.decode(), [image.naturalWidth, image.naturalHeight])"


def open_camera(page: Page, **how: Any) -> Locator:
    """Open the reader with a camera of the page; the photo that it takes stays in the preview."""
    use_camera(page, VIEW, **how)
    use_worker(page, WAITS)
    open_pour(page)
    store_reader(page)
    sheet = open_reader(page)
    expect(sheet.get_by_role("button", name="Take the photo")).to_be_enabled()
    return sheet


def taken_size(sheet: Locator) -> list[int]:
    take_picture(sheet)
    size: list[int] = sheet.get_by_role("img", name="Your photo").evaluate(PREVIEW_SIZE)
    return size


def light(sheet: Locator) -> Locator:
    return sheet.get_by_role("button", name="Light")


def test_photo_of_the_camera_is_taken(page):
    sheet = open_camera(page, still=STILL, stills="taken")
    assert taken_size(sheet) == [1080, 1440]


@pytest.mark.parametrize("stills", ["none", pytest.param("fails", marks=pytest.mark.extended)])
def test_live_view_is_taken_without_a_photo(page, stills):
    sheet = open_camera(page, stills=stills)
    assert taken_size(sheet) == [540, 720]


@pytest.mark.parametrize(
    "size",
    [
        pytest.param((270, 360), id="smaller"),
        pytest.param((1440, 1080), id="turned", marks=pytest.mark.extended),
    ],
)
def test_photo_worse_than_the_live_view_is_not_taken(page, size):
    still = jpeg(Image.new("RGB", size))
    sheet = open_camera(page, still=still, stills="taken")
    assert taken_size(sheet) == [540, 720]
    assert page.evaluate("camera.stills") == 1


def test_photo_shows_what_the_window_showed(page):
    """The photo is wider than the window, as a sensor may be; its sides are cut off."""
    wide = Image.new("RGB", (1400, 1440), "white")
    wide.paste((0, 0, 0), (160, 0, 1240, 1440))
    sheet = open_camera(page, still=jpeg(wide), stills="taken")
    assert taken_size(sheet) == [1080, 1440]


def test_light_is_turned_on_and_off(page):
    sheet = open_camera(page, light=True)
    tap(light(sheet))
    expect(light(sheet)).to_have_attribute("aria-pressed", "true")
    tap(light(sheet))
    expect(light(sheet)).to_have_attribute("aria-pressed", "false")
    assert page.evaluate("camera.torch") == [True, False]


@pytest.mark.extended
def test_lit_live_view_is_taken(page):
    """Some phones turn the light off for a photo."""
    sheet = open_camera(page, light=True, still=STILL, stills="taken")
    tap(light(sheet))
    expect(light(sheet)).to_have_attribute("aria-pressed", "true")
    assert taken_size(sheet) == [540, 720]
    assert page.evaluate("camera.stills") == 0


@pytest.mark.extended
def test_light_that_is_refused_is_not_shown_as_on(page):
    sheet = open_camera(page, light=True, refuses=True)
    tap(light(sheet))
    expect(light(sheet)).to_have_attribute("aria-pressed", "false")
    assert taken_size(sheet) == [540, 720]


@pytest.mark.extended
def test_camera_without_a_light_has_no_button(page):
    sheet = open_camera(page)
    expect(light(sheet)).to_have_count(0)
