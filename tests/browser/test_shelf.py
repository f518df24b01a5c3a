"""The Shelf: adding bottles, the alcohol filter, and the rule behind it."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.blocked_sync import block_requests
from tests.browser.engines import tap
from tests.browser.live_server import LiveServer
from tests.browser.pour_page import written
from tests.browser.seed_records import HOLD_UP
from tests.browser.seed_server import as_own, fill, first_tastings
from tests.browser.shelf_page import (
    SMALL,
    TOO_WIDE,
    add_bottle,
    finish_adding,
    names,
    next_bottle,
    open_shelf,
    row,
    rows,
    say_market,
    wait_for_palate,
    want_at_most,
)
from tests.browser.waiting import wait_for_idle, wait_until

pytestmark = pytest.mark.browser

PHONE = {
    "viewport": {"width": 360, "height": 780},
    "has_touch": True,
    "is_mobile": True,
    "locale": "en-GB",
    "service_workers": "block",
}
PALE = {"name": "Pale Ledge", "letters": "dry riesling central", "abv": 12, "price": 11}
STRONG = {"name": "Strong Ledge", "letters": "chianti", "abv": 15.5, "price": 22}
EDGE = {"name": "Edge Ledge", "letters": "rioja", "abv": 14.5, "price": 9}
RECORDS = """async (kind) => {
  await (await import('/domain/pour/autosave_queue.js')).whenIdle();
  const { allOf } = await import('/store/queries.js');
  return (await allOf(kind)).map((row) => row.fields);
}"""
# The edits that would make all records of these kinds again.
EDITS = """async (kinds) => {
  await (await import('/domain/pour/autosave_queue.js')).whenIdle();
  const { allOf } = await import('/store/queries.js');
  const rows = await Promise.all(kinds.map(async (kind) => (await allOf(kind))
    .map(({ id, fields }) => ({ kind, id, fields }))));
  return rows.flat();
}"""
SET_CURRENCY = """async (currency) => {
  const [{ save }, { settingsId }] = await Promise.all(
    ['/store/write.js', '/store/queries.js'].map((path) => import(path)));
  await save('settings', settingsId, { currency });
}"""
CURRENCY = """async () => {
  const { shelf } = await import('/features/shelf/list/shelf_state.js');
  return shelf.value.settings.currency;
}"""
SAVE = "async (edits) => (await import('/store/write.js')).saveMany(edits)"


@contextmanager
def opened_shelf(browser: Browser, url: str) -> Iterator[Page]:
    """Open a phone without tastings, which does not sync."""
    context = browser.new_context(base_url=url, **PHONE)
    block_requests(context, "/api/sync", "/api/palate")
    page = context.new_page()
    open_shelf(page)
    yield page
    context.close()


@pytest.fixture
def fresh(server: LiveServer, browser: Browser) -> Iterator[Page]:
    with opened_shelf(browser, server.url) as page:
        yield page


@pytest.fixture(scope="module")
def entered(server: LiveServer, browser: Browser) -> list[dict[str, Any]]:
    """Enter three bottles under EU law, and return the records that this makes."""
    with opened_shelf(browser, server.url) as page:
        add_bottle(page, PALE)
        say_market(page, "european")
        for bottle in (STRONG, EDGE):
            next_bottle(page)
            add_bottle(page, bottle)
        finish_adding(page, EDGE)
        edits: list[dict[str, Any]] = page.evaluate(EDITS, ["bottle", "pick"])
        return edits


@pytest.fixture
def three(fresh: Page, entered: list[dict[str, Any]]) -> Page:
    """Put these three bottles on that phone."""
    fresh.evaluate(SAVE, entered)
    expect(rows(fresh)).to_have_count(3)
    return fresh


def test_empty_shelf_is_explained(fresh):
    expect(fresh.get_by_text("No bottles here yet.")).to_be_visible()
    assert fresh.evaluate(SMALL) == []


def test_pick_is_saved_before_done_is_pressed(fresh):
    # Block the database, so that the bottle is not written before the reload.
    fresh.evaluate(HOLD_UP)
    add_bottle(fresh, PALE)
    fresh.reload()
    expect(row(fresh, "Pale Ledge")).to_contain_text("12%")
    assert fresh.evaluate(RECORDS, "bottle")[0]["colour"] == "white"


def test_shop_currency_and_market_are_remembered(fresh):
    add_bottle(fresh, PALE)
    more = fresh.get_by_role("dialog").locator("summary")
    expect(more).to_contain_text("Shop, country, producer, vintage")
    say_market(fresh, "united king")
    fresh.get_by_label("Shop").fill("The corner")
    tap(fresh.get_by_role("button", name="Currency"))
    fresh.get_by_role("dialog", name="Currency").get_by_role("searchbox").fill("GBP")
    tap(fresh.get_by_role("dialog", name="Currency").locator("ul button").first)
    next_bottle(fresh)
    add_bottle(fresh, EDGE)
    expect(more).to_contain_text("Same as last time")
    tap(fresh.get_by_role("button", name="Done"))
    expect(row(fresh, "Edge Ledge")).to_contain_text("£9.00")
    picks, bottles = fresh.evaluate(RECORDS, "pick"), fresh.evaluate(RECORDS, "bottle")
    assert {pick["shop"] for pick in picks} == {"The corner"}
    assert {bottle["label_market"] for bottle in bottles} == {"GB"}


def test_price_has_the_currency_of_the_settings(fresh):
    # Once entered without a currency, which must not stay so.
    add_bottle(fresh, PALE)
    tap(fresh.get_by_role("button", name="Done"))
    expect(fresh.locator("dialog[open]")).to_have_count(0)
    written(fresh)
    fresh.evaluate(SET_CURRENCY, "CHF")
    wait_until(fresh, lambda: fresh.evaluate(CURRENCY) == "CHF", "the currency on the shelf")
    tap(fresh.get_by_role("button", name="Add a bottle"))
    price = fresh.get_by_role("dialog").get_by_role("textbox", name="Price")
    expect(price).to_have_accessible_description("CHF")


def test_implausible_strength_is_rejected(fresh):
    add_bottle(fresh, {**PALE, "abv": 125})
    expect(fresh.get_by_text("Please enter 25 or less.")).to_be_visible()
    assert "label_abv" not in fresh.evaluate(RECORDS, "bottle")[0]


def test_each_row_shows_its_position_in_the_range(three):
    want_at_most(three, 14.5)
    expect(row(three, "Pale Ledge")).to_contain_text("in range")
    expect(row(three, "Edge Ledge")).to_contain_text("maybe outside")
    expect(row(three, "Edge Ledge")).to_contain_text("the law allows")
    expect(rows(three)).to_have_count(2)
    assert names(three) == ["Edge Ledge", "Pale Ledge"]
    tap(three.get_by_text("1 outside the alcohol you want"))
    expect(row(three, "Strong Ledge")).to_be_visible()
    shapes = {
        row(three, name).locator(".tolerance-mark").first.inner_html()
        for name in ("Pale Ledge", "Edge Ledge", "Strong Ledge")
    }
    assert len(shapes) == 3


def test_preferred_range_is_set_by_handles_and_persists(three):
    tap(three.get_by_role("button", name="Alcohol you want"))
    handle = three.get_by_role("slider", name="Alcohol you want, to")
    handle.focus()
    for _ in range(10):
        three.keyboard.press("ArrowLeft")
    tap(three.get_by_role("button", name="Show", exact=True))
    expect(three.get_by_role("button", name="Alcohol you want")).to_contain_text("up to 15%")
    written(three)
    three.reload()
    expect(three.get_by_role("button", name="Alcohol you want")).to_contain_text("up to 15%")


def test_label_rule_shows_its_date_and_source(three):
    tap(row(three, "Pale Ledge").get_by_role("button").first)
    sheet = three.get_by_role("dialog", name="Pale Ledge")
    expect(sheet).to_contain_text("The real figure may be 11.5 to 12.5%")
    expect(sheet).to_contain_text("European Union: plus or minus 0.5% alcohol.")
    expect(sheet).to_contain_text("607/2009, art. 54")
    expect(sheet).to_contain_text("November 2026")


def test_shelf_without_a_palate_sorts_by_latest(three):
    expect(rows(three)).to_have_count(3)
    assert names(three) == ["Edge Ledge", "Strong Ledge", "Pale Ledge"]
    expect(three.get_by_text("The app hasn’t learned your taste yet.")).to_be_visible()


def test_shelf_is_filtered_by_price_and_sorted_by_cheapest(three):
    tap(three.get_by_role("button", name="Sorted by: newest"))
    tap(three.get_by_role("radio", name="cheapest"))
    three.get_by_label("Highest price").fill("20")
    tap(three.get_by_role("button", name="Show", exact=True))
    expect(rows(three)).to_have_count(2)
    assert names(three) == ["Edge Ledge", "Pale Ledge"]
    expect(three.get_by_text("1 hidden by your filters.")).to_be_visible()
    tap(three.get_by_role("button", name="Clear"))
    expect(rows(three)).to_have_count(3)


def test_bought_pick_is_stocked_and_poured(three):
    tap(row(three, "Pale Ledge").get_by_role("button", name="Bought: Pale Ledge"))

    def stock() -> list[int]:
        return [one["count"] for one in three.evaluate(RECORDS, "stock")]

    wait_until(three, lambda: stock() == [1], "the bottle at home")
    tap(three.get_by_role("button", name="Undo"))
    expect(row(three, "Pale Ledge")).to_be_visible()
    wait_until(three, lambda: stock() == [], "no bottle at home")
    at_home = three.get_by_role("link", name="1 bottle at home")
    expect(at_home).to_have_count(0)
    tap(row(three, "Pale Ledge").get_by_role("button", name="Bought: Pale Ledge"))
    tap(at_home)
    tap(three.get_by_role("button", name="Taste: Pale Ledge"))
    three.wait_for_url("**/#/pour/**")
    assert [stock["count"] for stock in three.evaluate(RECORDS, "stock")] == [0]
    bottle = three.evaluate(RECORDS, "stock")[0]["bottle"]
    assert [tasting["bottle"] for tasting in three.evaluate(RECORDS, "tasting")] == [bottle]


def test_back_closes_the_bottle_that_was_open(three):
    three.goto("/#/book")
    tap(three.get_by_role("link", name="Shelf", exact=True))
    tap(row(three, "Pale Ledge").get_by_role("button").first)
    expect(three.get_by_role("dialog")).to_be_visible()
    three.go_back()
    tap(three.get_by_role("link", name="Shelf", exact=True))
    expect(rows(three)).to_have_count(3)
    expect(three.get_by_role("dialog")).to_have_count(0)


def test_double_tap_buys_one_bottle(three):
    buy = three.get_by_role("button", name="Bought:")
    tap(buy.first)
    expect(buy).to_have_count(2)
    # The next bottle has moved under the finger.
    buy.first.dispatch_event("click", {"detail": 2})
    wait_for_idle(three)
    expect(buy).to_have_count(2)
    assert [stock["count"] for stock in three.evaluate(RECORDS, "stock")] == [1]


@pytest.mark.extended
def test_touch_targets_fit_and_nothing_overflows(three):
    want_at_most(three, 14.5)
    assert three.evaluate(SMALL) == []
    assert three.evaluate(TOO_WIDE) == 0


def test_young_palate_states_its_uncertainty(server, browser):
    context = browser.new_context(base_url=server.url, **PHONE)
    page = context.new_page()
    open_shelf(page)
    wait_for_palate(page)
    add_bottle(page, PALE)
    finish_adding(page, PALE)
    expect(page.get_by_text("You haven’t rated a wine yet")).to_be_visible()
    expect(row(page, "Pale Ledge").get_by_text(re.compile(r"^~\d$"))).to_have_count(0)
    context.close()


def test_best_three_picks_are_summarized(tmp_path_factory, browser):
    server = LiveServer(tmp_path_factory.mktemp("tasted")).start()
    fill(server.url, [as_own(record) for record in first_tastings(40)])
    context = browser.new_context(base_url=server.url, **PHONE)
    page = context.new_page()
    open_shelf(page)
    wait_for_palate(page)
    for bottle in (PALE, STRONG, EDGE):
        add_bottle(page, bottle)
        next_bottle(page)
    tap(page.get_by_role("dialog", name="Add a bottle").get_by_role("button", name="Close"))
    best = page.get_by_text(re.compile("^Best match"))
    for bottle in (PALE, STRONG, EDGE):
        expect(best).to_contain_text(bottle["name"])
    sentence = best.inner_text()
    assert sorted(names(page), key=sentence.index) == names(page)
    assert json.dumps(sentence).count(". ") == 2
    context.close()
    server.kill()
