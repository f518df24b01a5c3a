"""Helpers for tests of the sheets that read a label or a list from a photo."""

from __future__ import annotations

import re
from typing import Any

from playwright.sync_api import Locator, Page, expect

from tests.browser.any_page import items
from tests.browser.engines import tap

SIZE = re.compile(r"this phone needs a label reader \(\d\.\d\sMB\)\. Download it now\?")
STORE = "async () => (await import('/label_photo/index.js')).storeModel({})"
STORED = "async () => (await (await import('/label_photo/index.js')).modelState()).stored"


def store_reader(page: Page) -> None:
    """Fetch the reader without the screen that asks for it."""
    page.evaluate(STORE)


def is_stored(page: Page) -> bool:
    stored: bool = page.evaluate(STORED)
    return stored


def open_reader(page: Page) -> Locator:
    """Open the sheet that reads a label, on Pour or in the sheet that adds a bottle."""
    tap(page.get_by_role("button", name="Read the label").last)
    sheet = page.get_by_role("dialog", name="Read the label")
    expect(sheet).to_be_visible()
    return sheet


def choose_picture(sheet: Locator, file: dict[str, Any]) -> None:
    """Give a picture from the phone."""
    sheet.locator("input[accept='image/*']").set_input_files(file)


def take_picture(sheet: Locator) -> None:
    button = sheet.get_by_role("button", name="Take the photo")
    expect(button).to_be_enabled()
    tap(button)


def offer(sheet: Locator, field: str) -> Locator:
    """Return the row of a value that was read."""
    return items(sheet, "What was read").filter(has_text=field)


def tick(sheet: Locator, field: str) -> Locator:
    return offer(sheet, field).get_by_role("checkbox")


def use(sheet: Locator) -> None:
    """Write the ticked values, of which there is at least one."""
    tap(sheet.get_by_role("button", name="Use these"))
    expect(sheet.page.get_by_text("taken from the label")).to_be_visible()
