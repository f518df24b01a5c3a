"""Buying a bottle in its details, and putting it back on the shelf."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.browser.engines import tap
from tests.browser.shelf_page import open_shelf, row
from tests.browser.waiting import wait_for_idle, wait_until

pytestmark = pytest.mark.browser

PUT = """async () => {
  const { newId, saveMany } = await import('/store/write.js');
  const bottle = newId();
  await saveMany([
    { kind: 'bottle', id: bottle, fields: { name: 'Quiet Lane', label_abv: 13 } },
    { kind: 'pick', id: newId(), fields: { bottle, state: 'open' } },
  ]);
}"""
STOCK = """async () => {
  const { stock } = await import('/store/queries.js');
  return (await stock()).map((row) => row.fields.count);
}"""


def double_click_bought(page: Page) -> None:
    """Click twice on "Bought" in the details; by the second click they have closed."""
    sheet = page.get_by_role("dialog", name="Quiet Lane")
    buy = sheet.get_by_role("button", name="Bought")
    buy.scroll_into_view_if_needed()
    buy.click()
    expect(sheet).to_have_count(0)
    page.mouse.down(click_count=2)
    page.mouse.up(click_count=2)


def test_bought_bottle_is_put_back_on_the_shelf(page: Page) -> None:
    open_shelf(page)
    page.evaluate(PUT)
    tap(row(page, "Quiet Lane").get_by_role("button").first)
    double_click_bought(page)
    wait_for_idle(page)
    # The second click met the navigation bar.
    assert page.evaluate("location.hash") == "#/shelf"
    wait_until(page, lambda: page.evaluate(STOCK) == [1], "the bottle at home")
    tap(page.get_by_text("1 bought"))
    tap(page.get_by_role("listitem").get_by_text("Quiet Lane"))
    tap(page.get_by_role("dialog").get_by_role("button", name="Put back on the shelf"))
    expect(row(page, "Quiet Lane")).to_be_visible()
    wait_until(page, lambda: page.evaluate(STOCK) == [0], "no bottle at home")
