"""Visits: order of the pours, comparison, triangle tests, and alcohol intake."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.any_page import fact, items, part, toast
from tests.browser.engines import tap
from tests.browser.pour_page import (
    Thumb,
    name_line,
    open_pour,
    quick_note,
    records,
    visit_row,
    visit_wines,
    written,
)
from tests.browser.seed_records import kept_here, put

pytestmark = pytest.mark.browser

INTAKE = "Poured and swallowed so far"
WINES_SO_FAR = "3 wines so far."
SINCE_WATER = "3 wines since your last glass of water."
IN_A_MINUTE = """async () => {
  const { timestamp } = await import('/lib/datetime.js');
  return timestamp(new Date(Date.now() + 60_000));
}"""
SETTINGS = "00000000-0000-7000-8000-000000000001"


def visit_of(page: Page, *abvs: float, **fields: object) -> str:
    """Create a visit with one closed pour of 50 ml for each strength, and open its page."""
    thumb = open_pour(page)
    thumb.press(visit_row(page))
    tap(page.get_by_role("button", name="Start a tasting"))
    expect(visit_row(page)).to_contain_text("Tasting")
    visit = records(page, "visit")[-1]["id"]
    for number, strength in enumerate(abvs):
        label = {"name": f"Cask {number + 1}", "label_abv": strength, "label_market": "EU"}
        pour = {"visit": visit, "bottle": put(page, "bottle", label), "pour_ml": 50,
                "liking": 4 + number, "acidity": 3 + number, **fields}  # fmt: skip
        now = page.evaluate("async () => (await import('/lib/datetime.js')).timestamp()")
        put(page, "tasting", {**pour, "tasted_at": now, "closed_at": now})
    page.goto(f"/#/pour/visit/{visit}")
    expect(visit_wines(page)).to_have_count(len(abvs))
    return visit


def choosers(page: Page) -> Locator:
    """Return the buttons that choose wines of the visit for a comparison."""
    return visit_wines(page).get_by_role("button", name=re.compile("^Choose .* to compare$"))


def test_visit_lists_its_pours_in_order(page):
    open_pour(page)
    visit = put(page, "visit", {"name": "Cellar", "on": "2026-05-02"})
    for name, minute in (("Third", 30), ("First", 10), ("Second", 20)):
        bottle = put(page, "bottle", {"name": name})
        when = f"2026-05-02T18:{minute}:00+02:00"
        put(page, "tasting", {"visit": visit, "bottle": bottle, "tasted_at": when})
    page.goto(f"/#/pour/visit/{visit}")
    expect(visit_wines(page).get_by_role("link")).to_contain_text(["First", "Second", "Third"])


def test_two_pours_are_compared_on_shared_scales(page):
    visit_of(page, 12, 13, second_nose_words=["rose", "tar"])
    tap(choosers(page).nth(0))
    tap(choosers(page).nth(1))
    tap(page.get_by_role("link", name="Compare 2"))
    expect(page.get_by_role("heading", level=1)).to_have_text("Compare")
    acidity = page.get_by_role("group", name="Acidity")
    expect(acidity.get_by_text("A 3, B 4", exact=True)).to_be_attached()
    expect(fact(page, "in both")).to_contain_text("rose, tar")


@pytest.mark.extended
def test_comparison_is_limited_to_four_pours(page):
    visit_of(page, 12, 12, 12, 12, 12)
    for place in range(5):
        tap(choosers(page).nth(place))
    expect(page.get_by_role("link", name="Compare 4")).to_be_visible()
    expect(visit_wines(page).get_by_role("button", pressed=True)).to_have_count(4)


@pytest.mark.extended
def test_overlapping_marks_are_drawn_in_lanes(page):
    open_pour(page)
    lanes = page.evaluate("""async () => (await import('/components/chart/lanes.js'))
      .assignLanes([
      { letter: 'A', value: 5, at: 0.5 }, { letter: 'B', value: 5, at: 0.5 },
      { letter: 'C', value: 9, at: 0.9 }], 0.07).map(({ letter, lane }) => letter + lane)""")
    assert lanes == ["A0", "B1", "C0"]


def test_intake_uses_the_drinks_and_range_of_the_country(page):
    """Check three times 50 ml of EU 13 %: 15.39 g (14.80 to 15.98); a US drink has 14 g (NIAAA)."""
    visit_of(page, 13, 13, 13)
    put(page, "settings", {"drink_country": "US"}, SETTINGS)
    pace = part(page, INTAKE)
    expect(pace).to_contain_text("15.4 g of pure alcohol")
    expect(pace).to_contain_text("Standard drinks: 1.1 (1.1 to 1.1); United States (14 g)")
    expect(pace).to_contain_text("14.8 to 16 g")


@pytest.mark.extended
def test_spat_pours_count_as_poured_only(page):
    visit_of(page, 13)
    amounts = page.get_by_role("group", name="How much of each").locator("summary")
    tap(amounts)
    tap(page.get_by_role("radio", name="spat"))
    expect(amounts).to_contain_text("all spat")
    expect(part(page, INTAKE).get_by_role("listitem")).to_contain_text(
        [
            re.compile(r"^Poured.*5.1\sg of pure alcohol"),
            re.compile(r"^Swallowed.*0\sg of pure alcohol"),
        ]
    )
    assert records(page, "tasting")[-1]["swallowed_ml"] == 0


def test_intake_shows_cautions_and_no_claim_on_sobriety(page):
    visit_of(page, 13)
    put(page, "settings", {"drink_country": "US"}, SETTINGS)
    tap(page.get_by_role("button", name="More about alcohol and safety"))
    pace = part(page, INTAKE)
    expect(pace).to_contain_text("GOVERNMENT WARNING: (1) According to the Surgeon General")
    expect(pace).to_contain_text("Don’t try to work out your own limit")
    expect(pace).to_contain_text("it says nothing about driving")
    for word in ("blood", "promille", "fit to drive", "you may drive", "safe to drive"):
        expect(pace).not_to_contain_text(word)


@pytest.mark.extended
def test_us_warning_is_shown_with_us_drinks_only(page):
    visit_of(page, 13)
    put(page, "settings", {"drink_country": "GB"}, SETTINGS)
    tap(page.get_by_role("button", name="More about alcohol and safety"))
    cautions = page.get_by_role("list").filter(has_text="Don’t try to work out your own limit")
    expect(cautions).to_be_visible()
    expect(cautions).not_to_contain_text("GOVERNMENT WARNING")


def test_water_reminder_shows_after_three_pours_until_done(page):
    visit_of(page, 12, 12, 12)
    page.goto("/#/pour")
    expect(toast(page, WINES_SO_FAR)).to_be_visible()
    tap(page.get_by_role("button", name="Had some water"))
    expect(toast(page, WINES_SO_FAR)).to_have_count(0)
    kept_here(page)
    page.reload()
    expect(name_line(page)).to_be_visible()
    expect(toast(page, WINES_SO_FAR)).to_have_count(0)
    at = page.evaluate(IN_A_MINUTE)
    for _ in range(3):
        put(page, "tasting", {"tasted_at": at, "closed_at": at})
    expect(toast(page, SINCE_WATER)).to_be_visible()


@pytest.mark.extended
def test_water_reminder_can_be_turned_off(page):
    visit_of(page, 12, 12, 12)
    reminder = page.get_by_role("radiogroup", name="Remind me to drink water")
    tap(reminder.get_by_role("radio", name="no"))
    page.goto("/#/pour")
    expect(name_line(page)).to_be_visible()
    expect(toast(page, WINES_SO_FAR)).to_have_count(0)


@pytest.mark.extended
def test_default_pour_size_prefills_but_creates_no_pour(page):
    open_pour(page)
    put(page, "settings", {"pour_ml": 40}, SETTINGS)
    page.reload()
    thumb = open_pour(page)
    thumb.primary()
    expect(toast(page, "Nothing to save yet")).to_be_visible()
    assert records(page, "tasting") == []
    quick_note(thumb, "Alte Halde")
    thumb.primary()
    expect(name_line(page)).to_have_value("")
    assert records(page, "tasting")[0]["pour_ml"] == 40


def triangle(page: Page, rounds: str, begun: bool = False) -> Thumb:
    thumb = Thumb(page) if begun else open_pour(page)
    page.goto("/#/pour/triangle")
    thumb.press(page.get_by_role("radio", name=rounds))
    page.get_by_label("First wine").fill("Cask 1")
    thumb.press(page.get_by_role("button", name="Start the first round"))
    return thumb


def odd_glass(page: Page) -> int:
    """Return the index of the glass whose wine occurs once."""
    names = [text.split(maxsplit=1)[1] for text in items(page, "Glasses to pour").all_inner_texts()]
    return next(place for place, name in enumerate(names) if names.count(name) == 1)


@pytest.mark.extended
def test_three_of_three_triangles_are_significant(page):
    """Check p = 1/27 = 0.037: exact binomial test of an ISO 4120 triangle test."""
    thumb = triangle(page, "3 rounds")
    for _ in range(3):
        odd = odd_glass(page)
        thumb.press(page.get_by_role("button", name="Hide and hand over"))
        expect(page.get_by_role("main")).not_to_contain_text("Cask 1")
        thumb.press(page.get_by_role("button", name=f"Glass {odd + 1}"))
    expect(page.get_by_role("main")).to_contain_text("You found the odd one out 3 of 3 times.")
    expect(page.get_by_role("main")).to_contain_text("You can tell them apart.")
    expect(page.get_by_role("main")).to_contain_text("in 4 of 100 such tests (p = 0.037)")
    expect(page.get_by_role("link", name="Saved. Open the saved result")).to_be_visible()
    written(page)
    kept = records(page, "visit")[-1]
    assert (kept["triangle_rounds"], kept["triangle_found"]) == (3, 3)
    assert kept["triangle_wines"] == "Cask 1"
    # The visit has ended, so that the next pour does not join it.
    assert kept["ended_at"]
    page.reload()
    tap(page.get_by_role("link", name="Saved. Open the saved result"))
    expect(page.get_by_role("main")).to_contain_text("You can tell them apart.")
    assert len(records(page, "visit")) == 1
    page.goto("/#/pour/triangle")
    tap(page.get_by_role("button", name="Another triangle test"))
    expect(page.get_by_role("link", name="Cask 1")).to_contain_text("3 of 3")


@pytest.mark.extended
def test_triangles_of_a_visit_are_stored_separately(page):
    visit = visit_of(page, 12)
    for _ in range(2):
        thumb = triangle(page, "3 rounds", begun=True)
        for _ in range(3):
            thumb.press(page.get_by_role("button", name="Hide and hand over"))
            thumb.press(page.get_by_role("button", name="Glass 1"))
        expect(page.get_by_role("link", name="Saved. Open the saved result")).to_be_visible()
        tap(page.get_by_role("button", name="Another triangle test"))
    kept = [row for row in records(page, "visit") if "triangle_rounds" in row]
    assert [row["id"] == visit for row in kept].count(True) == 1
    assert len(kept) == 2
    page.goto(f"/#/pour/visit/{visit}")
    expect(page.get_by_role("heading", name="Triangle test")).to_be_visible()


@pytest.mark.extended
def test_ended_visit_takes_a_pour_on_request_only(page):
    visit = visit_of(page, 12)
    tap(page.get_by_role("button", name="End the tasting"))
    expect(page.get_by_role("button", name="Next wine")).to_have_count(0)
    tap(page.get_by_role("button", name="Another wine in this tasting"))
    expect(visit_row(page)).to_contain_text("wine 2")
    thumb = Thumb(page)
    quick_note(thumb, "Cask 2")
    thumb.primary()
    expect(visit_row(page)).to_contain_text("Where are you?")
    quick_note(thumb, "Cask 3")
    written(page)
    visits = {row.get("bottle"): row.get("visit") for row in records(page, "tasting")}
    names = {row["id"]: row.get("name") for row in records(page, "bottle")}
    assert {names[bottle]: entry for bottle, entry in visits.items()} == {
        "Cask 1": visit, "Cask 2": visit, "Cask 3": None}  # fmt: skip


def test_triangle_survives_a_reload_and_hides_its_result(page):
    thumb = triangle(page, "3 rounds")
    wrong = (odd_glass(page) + 1) % 3
    thumb.press(page.get_by_role("button", name="Hide and hand over"))
    kept_here(page)
    page.reload()
    thumb.press(page.get_by_role("button", name="See the list again"))
    expect(items(page, "Glasses to pour")).to_have_count(3)
    thumb.press(page.get_by_role("button", name="Hide and hand over"))
    thumb.press(page.get_by_role("button", name=f"Glass {wrong + 1}"))
    expect(items(page, "Glasses to pour")).to_have_count(3)
    expect(page.get_by_role("main")).to_contain_text("Round 2 of 3")
    for word in ("found", "missed", "p ="):
        expect(page.get_by_role("main")).not_to_contain_text(word)
    thumb.press(page.get_by_role("button", name="End this test"))
    # "Saved" was said of the first round, so the end says that it is gone.
    expect(page.get_by_role("status").get_by_text("Its rounds were not kept.")).to_be_visible()
    expect(page.get_by_label("First wine")).to_have_value("Cask 1")
    assert records(page, "visit") == []


def test_triangle_draws_all_six_orders(page):
    open_pour(page)
    drawn = page.evaluate("""async () => {
      const { drawRound, winesOf } = await import('/features/blind/triangle_rounds.js');
      return Array.from({ length: 400 }, () => winesOf(drawRound()).join(''));
    }""")
    assert set(drawn) == {"001", "010", "100", "110", "101", "011"}
