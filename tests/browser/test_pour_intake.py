"""The pace of a visit: poured and swallowed, the labels' lawful range, the cautions."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.browser.pour_page import name_line, open_pour, quick_note, written

pytestmark = pytest.mark.browser


def test_intake_adds_three_pours_with_their_tolerance(page):
    """Three pours of 50 ml at 13 % under EU law: 15.39 g, 14.80 to 15.98 g.

    Computed from 0.78924 g/ml (OIML R 22) and a tolerance of 0.5 points (Reg 607/2009 art. 54).
    """
    thumb = open_pour(page)
    thumb.press(".where-row")
    page.get_by_role("button", name="Start a visit").tap()
    for number in (1, 2, 3):
        quick_note(thumb, f"Tre Colli number {number}", "soave", "13")
        thumb.step("Bottle")
        page.get_by_role("button", name="More of the label").tap()
        thumb.choose("bottle.label_market", "European Union")
        if number == 1:
            page.get_by_role("button", name="More about this pour").tap()
            thumb.type_into("tasting.pour_ml", "50")
        thumb.step("Verdict")
        thumb.primary()
        expect(name_line(page)).to_have_value("")
    written(page)
    thumb.press(".where-row")
    pace = page.locator(".pace")
    expect(pace).to_contain_text("15.4 g of pure alcohol")
    expect(pace).to_contain_text("14.8 to 16 g")
    expect(pace).to_contain_text("Drive only sober")


def test_blind_label_hides_its_strength(page):
    thumb = open_pour(page)
    thumb.press(".where-row")
    page.get_by_role("button", name="Start a visit").tap()
    quick_note(thumb, "Under the cloth", "soave", "13")
    thumb.step("Bottle")
    page.get_by_role("button", name="More about this pour").tap()
    thumb.type_into("tasting.pour_ml", "50")
    thumb.press(page.get_by_role("button", name="Cover the label"))
    written(page)
    thumb.press(".where-row")
    expect(page.locator(".pace")).to_contain_text("1 pour of unknown strength is not counted")
    expect(page.locator(".pace")).not_to_contain_text("of pure alcohol")
