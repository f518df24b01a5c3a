"""The evidence screen: the chart of estimated age against the vintage, and own bottles."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.browser.any_page import part
from tests.browser.pour_page import open_pour, quick_note, written
from tests.browser.seed_records import address_id, put

pytestmark = pytest.mark.browser

LOOK = {"look_hue": "red_garnet", "look_rim": "wide", "look_gradation": "marked"}


def read_signs(page: Page, vintage: str = "2012") -> None:
    """Open the evidence of a red wine of that vintage with an aged look."""
    thumb = open_pour(page)
    quick_note(thumb, "Torre del Gelso", "barolo", "14")
    thumb.step("Bottle")
    thumb.type_into("bottle.vintage", vintage)
    written(page)
    put(page, "tasting", LOOK, address_id(page))
    thumb.step("Verdict")
    thumb.press(page.get_by_role("link", name="What the wine tells you"))
    expect(page.get_by_role("heading", level=1)).to_have_text("What the wine tells you")


def test_age_chart_marks_the_vintage_and_sums_to_100(page):
    read_signs(page)
    strip = page.get_by_role("figure")
    expect(strip.get_by_text("2012", exact=True)).to_be_visible()
    shares = [int(text.rstrip("%")) for text in strip.locator("td").all_inner_texts()]
    assert len(shares) == 7
    assert abs(sum(shares) - 100) <= 3


def test_blind_vintage_is_not_marked_on_the_age_chart(page):
    read_signs(page)
    put(page, "tasting", {"label_hidden": True}, address_id(page))
    expect(page.get_by_role("figure")).to_be_visible()
    expect(page.get_by_role("main")).not_to_contain_text("2012")


@pytest.mark.extended
def test_own_bottles_of_known_vintage_shift_the_age_estimate(page):
    open_pour(page)
    for number in range(12):
        bottle = put(page, "bottle", {"name": f"Old {number}", "vintage": 1990, "colour": "red"})
        when = f"2024-01-{number + 1:02}T20:00:00+01:00"
        put(page, "tasting", {"bottle": bottle, "tasted_at": when, **LOOK})
    read_signs(page, "1991")
    age = part(page, "Age")
    expect(age).to_contain_text("12 wines you tasted with a known vintage changed this estimate")
