"""Navigation between the main screens."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import PhoneMaker
from tests.browser.engines import tap
from tests.browser.live_server import LiveServer

pytestmark = pytest.mark.browser
HEADS = {"Book": "Book", "Palate": "Palate"}


def test_screen_can_be_left_during_a_pour(live_server: LiveServer, phone: PhoneMaker) -> None:
    page = phone().new_page()
    page.goto(live_server.url)
    page.get_by_label("Name").first.fill("Grauer Reiher")
    tap(page.get_by_role("link", name="Taste step by step"))
    expect(page.get_by_role("heading", name="Bottle", level=1)).to_be_visible()
    tap(page.get_by_role("link", name="Shelf", exact=True))
    expect(page.get_by_role("heading", name="Shelf", level=1)).to_be_visible()
    tap(page.get_by_role("link", name="Pour", exact=True))
    expect(page.get_by_label("Name").first).to_have_value("Grauer Reiher")


def test_back_returns_to_the_previous_screen(page: Page) -> None:
    page.goto("/")
    for screen in ("Book", "Palate", "Palate"):
        tap(page.get_by_role("link", name=screen, exact=True))
        expect(page.get_by_role("heading", name=HEADS[screen], level=1)).to_be_visible()
    # A link to the current screen adds no history entry.
    page.go_back()
    expect(page.get_by_role("heading", name="Book", level=1)).to_be_visible()
    page.go_back()
    expect(page.get_by_role("heading", name="Pour", level=1)).to_be_visible()
    page.go_forward()
    expect(page.get_by_role("heading", name="Book", level=1)).to_be_visible()


@pytest.mark.parametrize("address", ["/#/book/%", "/#/constructor"])
def test_malformed_address_opens_a_screen(page: Page, address: str) -> None:
    page.goto(address)
    expect(page.get_by_role("heading", level=1)).to_be_visible()
    tap(page.get_by_role("link", name="Pour", exact=True))
    expect(page.get_by_role("heading", name="Pour", level=1)).to_be_visible()


def test_link_with_a_modifier_opens_a_new_tab(page: Page) -> None:
    page.goto("/")
    with page.context.expect_page() as opened:
        page.get_by_role("link", name="Book", exact=True).click(modifiers=["Control"])
    expect(opened.value.get_by_role("heading", name="Book", level=1)).to_be_visible()
    expect(page.get_by_role("heading", name="Pour", level=1)).to_be_visible()


@pytest.mark.parametrize(
    "screen",
    [
        "Pour",
        *(
            pytest.param(screen, marks=pytest.mark.extended)
            for screen in ("Book", "Shelf", "Palate")
        ),
    ],
)
def test_settings_open_from_every_main_screen(page: Page, screen: str) -> None:
    page.goto("/")
    tap(page.get_by_role("link", name=screen, exact=True))
    tap(page.get_by_role("link", name="Settings", exact=True))
    expect(page.get_by_role("heading", name="Settings", level=1)).to_be_visible()
    page.go_back()
    expect(page.get_by_role("heading", name=screen, level=1)).to_be_visible()
