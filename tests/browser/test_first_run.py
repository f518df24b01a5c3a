"""The first start: a new pour is open; example data is loaded and removed with one tap."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.browser.any_page import primary_action, sync_state, thumb_actions
from tests.browser.engines import tap

pytestmark = pytest.mark.browser


@pytest.fixture
def page(page: Page) -> Page:
    page.goto("/")
    expect(primary_action(page)).to_be_visible()
    return page


def test_example_notebook_is_opened_and_removed_by_one_tap(page: Page) -> None:
    tap(page.get_by_role("link", name="Sample notes"))
    expect(page.get_by_text("These are sample notes")).to_be_visible()
    tap(page.get_by_role("button", name="Start my own"))
    expect(page.get_by_text("No notes yet.")).to_be_visible()


def test_example_is_offered_until_something_is_typed(page: Page) -> None:
    expect(page.get_by_role("link", name="Sample notes")).to_be_visible()
    page.get_by_label("Name").fill("Hill Street White")
    expect(page.get_by_role("link", name="Sample notes")).to_have_count(0)
    tap(page.get_by_role("button", name="Save"))
    expect(page.get_by_text("Saved: Hill Street White")).to_be_visible()
    expect(page.get_by_role("link", name="Sample notes")).to_have_count(0)


def test_first_page_says_what_it_is_and_nothing_of_saving(page: Page) -> None:
    welcome = page.get_by_text("Your wine notebook: on this phone")
    expect(welcome).to_be_visible()
    expect(sync_state(page, "draft")).to_have_count(0)
    page.get_by_label("Name").fill("Hill Street White")
    expect(sync_state(page, "draft")).to_be_visible()
    expect(welcome).to_be_visible()
    tap(page.get_by_role("button", name="Save"))
    expect(page.get_by_text("Saved: Hill Street White")).to_be_visible()
    expect(welcome).to_have_count(0)
    expect(sync_state(page)).to_be_visible()


def test_save_is_wider_than_the_link_to_the_example(page: Page) -> None:
    widths = thumb_actions(page).evaluate_all(
        "(all) => all.map((one) => one.getBoundingClientRect().width)"
    )
    assert widths[0] > widths[1]


def test_example_offline_explains_the_need_for_network(page: Page) -> None:
    page.route("**/api/example?*", lambda route: route.abort())
    tap(page.get_by_role("link", name="Sample notes"))
    expect(page.get_by_role("alert")).to_contain_text("need a connection")
    page.unroute_all()
    tap(page.get_by_role("button", name="Look at some sample notes"))
    expect(page.get_by_text("These are sample notes")).to_be_visible()


def test_toast_is_not_shown_on_the_next_page(page: Page) -> None:
    tap(page.get_by_role("button", name="Save"))
    text = page.get_by_text("Nothing to save yet")
    expect(text).to_be_visible()
    page.get_by_label("Name").fill("Quiet Hill")
    expect(text).to_have_count(0, timeout=2_500)
    page.get_by_label("Name").fill("")
    tap(page.get_by_role("button", name="Save"))
    expect(text).to_be_visible()
    tap(page.get_by_role("link", name="Shelf"))
    expect(page.get_by_text("No bottles here yet.")).to_be_visible()
    expect(text).to_have_count(0)
