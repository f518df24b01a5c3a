"""Alcohol intake of a visit: poured and swallowed amounts, label tolerance, warnings."""

from __future__ import annotations

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.any_page import part
from tests.browser.engines import tap
from tests.browser.pour_page import name_line, open_pour, quick_note, records, visit_row, written
from tests.browser.seed_records import put

pytestmark = pytest.mark.browser


def intake(page: Page) -> Locator:
    return part(page, "Poured and swallowed so far")


def test_intake_adds_three_pours_with_their_tolerance(page):
    """Check three pours of 50 ml at 13 % under EU law: 15.39 g, 14.80 to 15.98 g.

    Computed from 0.78924 g/ml (OIML R 22) and a tolerance of 0.5 points (Reg 607/2009 art. 54).
    """
    thumb = open_pour(page)
    thumb.press(visit_row(page))
    tap(page.get_by_role("button", name="Start a tasting"))
    for number in (1, 2, 3):
        quick_note(thumb, f"Tre Colli number {number}", "soave", "13")
        thumb.step("Bottle")
        tap(page.get_by_role("button", name="More from the label"))
        thumb.choose("bottle.label_market", "European Union")
        if number == 1:
            tap(page.get_by_role("button", name="More about this glass"))
            thumb.type_into("tasting.pour_ml", "50")
        thumb.step("Verdict")
        thumb.primary()
        expect(page.get_by_text(f"Saved: Tre Colli number {number}")).to_be_visible()
        tap(page.get_by_role("link", name="Pour", exact=True))
        expect(name_line(page)).to_have_value("")
    written(page)
    thumb.press(visit_row(page))
    pace = intake(page)
    expect(pace).to_contain_text("15.4 g of pure alcohol")
    expect(pace).to_contain_text("14.8 to 16 g")
    expect(pace).to_contain_text("Never drink and drive")


def test_blind_label_hides_its_strength(page):
    thumb = open_pour(page)
    thumb.press(visit_row(page))
    tap(page.get_by_role("button", name="Start a tasting"))
    quick_note(thumb, "Under the cloth", "soave", "13", liking=0.5)
    thumb.step("Bottle")
    tap(page.get_by_role("button", name="More about this glass"))
    thumb.type_into("tasting.pour_ml", "50")
    thumb.press(page.get_by_role("button", name="Cover the label"))
    written(page)
    thumb.press(visit_row(page))
    expect(intake(page)).to_contain_text("1 glass with no alcohol figure isn’t counted")
    expect(intake(page)).not_to_contain_text("of pure alcohol")


def pour_at(page: Page, name: str, hours_ago: float, **fields: object) -> str:
    """Save a closed pour of 100 ml at 12.5 % (9.87 g of alcohol); `fields` may override it."""
    when = page.evaluate(
        """async (hours) => (await import('/lib/datetime.js'))
      .timestamp(new Date(Date.now() - hours * 3_600_000))""",
        hours_ago,
    )
    bottle = put(page, "bottle", {"name": name, "label_abv": 12.5, "label_market": "EU"})
    pour = {"bottle": bottle, "pour_ml": 100, "tasted_at": when, "closed_at": when}
    return put(page, "tasting", {**pour, **fields})


def test_intake_counts_every_drink_of_the_visit(page):
    open_pour(page)
    visit = put(page, "visit", {"name": "Cellar", "on": "2026-05-02"})
    pour_at(page, "At the bar", 2)
    pour_at(page, "In the cellar", 1, visit=visit)
    plain = put(page, "bottle", {"name": "On the way home", "label_abv": 12.5})
    pour_at(page, "Elsewhere", 0, bottle=plain)
    pour_at(page, "The week before", 7 * 24)
    page.goto(f"/#/pour/visit/{visit}")
    pace = intake(page)
    expect(pace).to_contain_text(
        "Includes 2 wines tasted around the same time outside this tasting."
    )
    expect(pace.get_by_role("listitem").first).to_contain_text("29.6 g of pure alcohol")
    expect(pace).to_contain_text("The country of sale isn’t noted, so we allow plus or minus 1.5%")
    pours = page.get_by_role("group", name="How much of each").locator("summary")
    expect(pours).to_contain_text(["At the bar", "In the cellar", "On the way home"])


def test_intake_counts_no_untouched_glass(page):
    open_pour(page)
    visit = put(page, "visit", {"name": "Flight", "on": "2026-05-02"})
    glass = {"visit": visit, "closed_at": None}
    pour_at(page, "Tasted", 0, visit=visit, flight_mark="A")
    for mark, fields in (("B", {"label_hidden": True}), ("C", {})):
        pour_at(page, f"Glass {mark}", 0, flight_mark=mark, **glass, **fields)
    page.goto(f"/#/pour/visit/{visit}")
    pace = intake(page)
    expect(pace.get_by_role("listitem").first).to_contain_text("9.9 g of pure alcohol")
    expect(pace).not_to_contain_text("with no alcohol figure")
    untouched = pace.locator("summary", has_text="not tasted yet")
    expect(untouched).to_have_count(2)
    last = records(page, "tasting")[-1]["id"]
    put(page, "tasting", {"second_nose_words": ["rose"]}, last)
    expect(pace.get_by_role("listitem").first).to_contain_text("19.7 g of pure alcohol")
    expect(untouched).to_have_count(1)
