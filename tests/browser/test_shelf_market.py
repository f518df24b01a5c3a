"""The default market: asked once, and used for labels without a market."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.browser.engines import tap
from tests.browser.shelf_page import SMALL, TOO_WIDE, open_shelf, row

pytestmark = pytest.mark.browser

QUESTION = "Where do you mostly buy wine?"
ASSUMED = "The country of sale isn’t noted, so we allow plus or minus 1.5% alcohol"
# A page that is closed loses the transactions that run.
LOSE_THE_ANSWER = """() => {
  const { put } = IDBObjectStore.prototype;
  IDBObjectStore.prototype.put = function (value, ...key) {
    const request = put.call(this, value, ...key);
    if (value.name === 'market_asked') this.transaction.abort();
    return request;
  };
}"""
NO_MARKET = """async () => {
  const { newId, saveMany } = await import('/store/write.js');
  const bottle = newId();
  await saveMany([
    { kind: 'bottle', id: bottle, fields: { name: 'Quiet Lane', kind: 'still', label_abv: 13 } },
    { kind: 'pick', id: newId(), fields: { bottle, state: 'open' } },
  ]);
  return bottle;
}"""


def answer(page: Page, market: str) -> None:
    page.get_by_label(QUESTION).select_option(market)
    expect(page.get_by_label(QUESTION)).to_have_count(0)


def test_market_is_asked_once(page):
    open_shelf(page)
    expect(page.get_by_label(QUESTION)).to_be_visible()
    assert page.evaluate(SMALL) == []
    assert page.evaluate(TOO_WIDE) == 0
    tap(page.get_by_role("button", name="Not now"))
    expect(page.get_by_label(QUESTION)).to_have_count(0)
    page.reload()
    expect(page.get_by_text("No bottles here yet.")).to_be_visible()
    expect(page.get_by_label(QUESTION)).to_have_count(0)


def test_market_answer_outlives_a_lost_write(page):
    open_shelf(page)
    expect(page.get_by_label(QUESTION)).to_be_visible()
    page.evaluate(LOSE_THE_ANSWER)
    tap(page.get_by_role("button", name="Not now"))
    expect(page.get_by_label(QUESTION)).to_have_count(0)
    page.reload()
    expect(page.get_by_text("No bottles here yet.")).to_be_visible()
    expect(page.get_by_label(QUESTION)).to_have_count(0)
    page.reload()
    expect(page.get_by_text("No bottles here yet.")).to_be_visible()
    expect(page.get_by_label(QUESTION)).to_have_count(0)


def test_label_without_a_market_uses_the_own_market(page):
    open_shelf(page)
    bottle = page.evaluate(NO_MARKET)
    tap(row(page, "Quiet Lane").get_by_role("button").first)
    sheet = page.get_by_role("dialog", name="Quiet Lane")
    expect(sheet).to_contain_text("The real figure may be 11.5 to 14.5%")
    expect(sheet).to_contain_text(ASSUMED)
    page.goto(f"/#/book/bottle/{bottle}")
    expect(page.get_by_text(ASSUMED)).to_be_visible()
    page.go_back()
    answer(page, "EU")
    tap(row(page, "Quiet Lane").get_by_role("button").first)
    expect(sheet).to_contain_text("The real figure may be 12.5 to 13.5%")
    expect(sheet).to_contain_text("the rule of the country where you mostly buy")
    page.goto(f"/#/book/bottle/{bottle}")
    expect(page.get_by_text("12.5 to 13.5%")).to_be_visible()
