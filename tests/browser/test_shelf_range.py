"""The alcohol filter below 15 %: label tolerances decide which bottles stay in the list."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.any_page import thumb_actions
from tests.browser.engines import tap
from tests.browser.seed_records import put
from tests.browser.shelf_page import (
    SMALL,
    TOO_WIDE,
    names,
    open_shelf,
    row,
    rows,
    want_at_most,
)

pytestmark = pytest.mark.browser

EU, US = {"label_market": "EU"}, {"label_market": "US"}
# Twelve bottles, classified by hand for the filter "up to 14.9".
INSIDE: dict[str, dict[str, Any]] = {
    "Alder Row": {**EU, "label_abv": 11.5},
    "Birch Row": {**EU, "label_abv": 13},
    "Cedar Row": {**EU, "label_abv": 14},
    "Dogwood Row": {**US, "label_abv": 12.5},
}
MAY_STRAY: dict[str, dict[str, Any]] = {
    "Elm Row": {**EU, "label_abv": 14.5},
    "Fir Row": {**US, "label_abv": 14.5},
    "Gorse Row": {"label_abv": 13.5},
}
OUTSIDE: dict[str, dict[str, Any]] = {
    "Hazel Row": {**EU, "label_abv": 15},
    "Ivy Row": {**EU, "label_abv": 15.5},
    "Juniper Row": {**US, "label_abv": 15.5},
    "Kelp Row": {"label_abv": 16},
}
SILENT = "Larch Row"
TWELVE = {**INSIDE, **MAY_STRAY, **OUTSIDE, SILENT: dict(EU)}
PUT_ON_SHELF = """async (bottles) => {
  const { newId, saveMany } = await import('/store/write.js');
  await saveMany(Object.entries(bottles).flatMap(([name, fields]) => {
    const bottle = newId();
    return [
      { kind: 'bottle', id: bottle, fields: { name, kind: 'still', colour: 'red', ...fields } },
      { kind: 'pick', id: newId(), fields: { bottle, state: 'open', price: 12 } },
    ];
  }));
}"""


@pytest.fixture
def twelve(page: Page) -> Page:
    open_shelf(page)
    page.evaluate(PUT_ON_SHELF, TWELVE)
    expect(rows(page)).to_have_count(12)
    return page


def test_printed_strength_decides_what_is_listed(twelve):
    axis = row(twelve, "Elm Row").get_by_role("img", name="could be")
    expect(axis).to_have_count(0)
    want_at_most(twelve, 14.9)
    expect(rows(twelve)).to_have_count(8)
    expect(twelve.get_by_text("8 of 12 bottles")).to_be_visible()
    expect(axis).to_be_visible()
    assert set(names(twelve)) == {*INSIDE, *MAY_STRAY, SILENT}
    for name in INSIDE:
        expect(row(twelve, name).get_by_text("in range", exact=True)).to_be_visible()
    for name in MAY_STRAY:
        expect(row(twelve, name).get_by_text("maybe outside", exact=True)).to_be_visible()
    tap(twelve.get_by_role("button", name="Alcohol you want"))
    expect(twelve.get_by_text("4 in range, 3 maybe outside, 4 outside")).to_be_visible()


def test_picks_outside_are_collapsed_with_their_count(twelve):
    want_at_most(twelve, 14.9)
    expect(row(twelve, "Ivy Row")).not_to_be_visible()
    tap(twelve.get_by_text("4 outside the alcohol you want"))
    for name in OUTSIDE:
        expect(row(twelve, name)).to_be_visible()
        expect(row(twelve, name).get_by_text("outside", exact=True)).to_be_visible()


def test_pick_without_strength_is_listed_and_marked(twelve):
    want_at_most(twelve, 14.9)
    expect(row(twelve, SILENT)).to_contain_text("alcohol not entered")
    expect(
        twelve.get_by_text("1 bottle has no alcohol figure and stays in the list.")
    ).to_be_visible()


def test_strict_range_collapses_uncertain_picks(twelve):
    want_at_most(twelve, 14.9)
    tap(twelve.get_by_role("button", name="Alcohol you want"))
    tap(twelve.get_by_role("button", name="Hide those that may be outside"))
    tap(twelve.get_by_role("button", name="Show", exact=True))
    expect(rows(twelve)).to_have_count(5)
    assert set(names(twelve)) == {*INSIDE, SILENT}
    twelve.reload()
    expect(rows(twelve)).to_have_count(5)
    tap(twelve.get_by_text("7 are or may be outside the alcohol you want"))
    expect(row(twelve, "Elm Row").get_by_text("maybe outside", exact=True)).to_be_visible()


@pytest.mark.extended
def test_range_filter_fits_a_small_phone(twelve):
    want_at_most(twelve, 14.9)
    assert twelve.evaluate(SMALL) == []
    assert twelve.evaluate(TOO_WIDE) == 0


def test_limits_of_the_filter_are_on_one_level(twelve):
    page = twelve
    tap(page.get_by_role("button", name="Alcohol you want"))
    low, high = (
        page.get_by_role("textbox", name=f"At {end}").bounding_box() for end in ("least", "most")
    )
    assert low["x"] != high["x"]
    assert low["y"] == high["y"]
    labels = page.get_by_role("group", name="Alcohol you want").locator(".label")
    assert len({each.bounding_box()["y"] for each in labels.all()}) == 1


def test_first_bottle_is_whole_on_the_first_screen(twelve):
    put(twelve, "stock", {"bottle": put(twelve, "bottle", {"name": "Maple Row"}), "count": 1})
    want_at_most(twelve, 14.9)
    expect(twelve.get_by_role("link", name="1 bottle at home")).to_be_visible()
    first, foot = rows(twelve).first.bounding_box(), thumb_actions(twelve).first.bounding_box()
    assert twelve.evaluate("() => scrollY") == 0
    assert first["y"] + first["height"] <= foot["y"]
