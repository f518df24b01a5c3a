"""The way from room to room."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import LiveServer, PhoneMaker

pytestmark = pytest.mark.browser


def test_a_room_can_be_left_from_the_middle_of_a_pour(
    live_server: LiveServer, phone: PhoneMaker
) -> None:
    page = phone().new_page()
    page.goto(live_server.url)
    page.get_by_label("Name").first.fill("Grauer Reiher")
    page.get_by_role("link", name="Taste it in full").tap()
    expect(page.get_by_role("heading", name="Bottle", level=1)).to_be_visible()
    page.get_by_role("link", name="Shelf", exact=True).tap()
    expect(page.get_by_role("heading", name="Shelf", level=1)).to_be_visible()
    page.get_by_role("link", name="Pour", exact=True).tap()
    expect(page.get_by_label("Name").first).to_have_value("Grauer Reiher")
