"""Talk about the glasses of a table, their labels, and what the table says."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.any_page import part
from tests.browser.engines import tap
from tests.browser.table_page import MOMENT, SAVE, id_of, open_tasted, sheet

pytestmark = pytest.mark.browser


def dots(page: Page) -> Locator:
    """Return the drawing of all likings."""
    return page.get_by_role("group", name="One dot for each person")


def test_answers_are_not_shown_before_the_talk(leader, page):
    page.goto("/#/table")
    open_tasted(page, f"/talk/{id_of('glass', 1)}", discussed=False)
    noted = page.get_by_role("main").get_by_role("status")
    expect(noted.first).to_contain_text("5 of 5 guests noted something")
    expect(dots(page)).to_have_count(0)
    leader.press("Show the answers")
    expect(dots(page)).to_be_visible()
    glass = next(row for row in leader.rows("glass") if row["id"] == id_of("glass", 1))
    assert {"closed_first_nose_at", "closed_sip_1_at", "closed_verdict_at"} <= glass.keys()
    leader.press("Undo")
    expect(dots(page)).to_have_count(0)


def test_talk_shows_a_dot_for_each_guest_and_shared_aromas(page):
    page.goto("/#/table")
    open_tasted(page, f"/talk/{id_of('glass', 1)}")
    liking = dots(page)
    expect(liking.get_by_title(re.compile("."))).to_have_count(5)
    expect(liking).to_contain_text("middle: 3")
    aroma = part(page, "Aromas").get_by_role("listitem").first
    expect(aroma).to_contain_text("rose")
    expect(aroma).to_contain_text("5 of 5")
    scales = part(page, "Nose and sips")
    # Ada to Eve chose 3 to 3.4.
    expect(scales.get_by_role("group", name="Acidity")).to_contain_text("middle: 3.2soft")
    expect(scales).to_contain_text("Half of the answers lie within the bar.")
    values = "Cleo 2 · Ada 3 · Eve 3 · Ben 4 · Dan 5"
    expect(page.get_by_text(values, exact=True)).to_be_visible()


def test_talk_shows_names_words_marks_and_bitterness(leader, page):
    page.goto("/#/table")
    open_tasted(page, f"/talk/{id_of('glass', 1)}")
    more = [
        {"would_buy": "yes", "just_right_acidity": 1, "words": "like rain"},
        {"would_buy": "no", "just_right_acidity": 0, "bitterness": 6},
    ]
    page.evaluate(SAVE, [sheet(at, 1, **fields) for at, fields in enumerate(more)])
    page.evaluate(SAVE, [sheet(2, 1, first_nose_words=["rose", "leather"])])
    singles = page.locator("section", has=page.get_by_role("heading", name="Aromas"))
    expect(singles).to_contain_text("Noted by one: leather")
    tap(singles.get_by_role("button", name="Show who said it"))
    expect(singles).to_contain_text("leather (Cleo)")
    others = page.locator("section", has=page.get_by_role("heading", name="Other answers"))
    expect(others).not_to_contain_text("Ada")
    tap(others.get_by_role("button", name="Show who said it"))
    expect(others).to_contain_text("yes (Ada)")
    expect(others).to_contain_text("no (Ben)")
    marks = page.locator("section", has=page.get_by_role("heading", name="Too little, just right"))
    expect(marks).to_contain_text("too much 1 · just right 1")
    expect(part(page, "In their own words").get_by_role("listitem")).to_have_text(
        re.compile("like rain.*Ada", re.S)
    )
    expect(page.get_by_role("group", name="Bitterness")).to_have_count(1)


@pytest.mark.extended
def test_uncovered_glass_says_what_was_not_noted(leader, page):
    page.goto("/#/table")
    open_tasted(page, f"/talk/{id_of('glass', 1)}")
    page.evaluate(SAVE, [sheet(0, 1, guess_age_years=5, guess_grape="Gamay")])
    empty = {"vintage": None, "label_abv": None}
    page.evaluate(SAVE, [{"kind": "bottle", "id": id_of("bottle", 1), "fields": empty}])
    leader.press("Uncover the label")
    label = part(page, re.compile("^Clos Verrin"))
    for unknown in ("No alcohol was noted", "No vintage was noted", "No grape was noted"):
        expect(label).to_contain_text(unknown)
    leader.press("Add what’s missing")
    page.get_by_role("dialog").get_by_role("textbox", name="Vintage").fill("2021")
    leader.press("Done")
    expect(label).to_contain_text("It’s 5 years.")


def test_names_stay_hidden_where_answers_go_without_names(page):
    page.goto("/#/table")
    open_tasted(page, f"/talk/{id_of('glass', 1)}", names_shown=False)
    expect(dots(page)).to_be_visible()
    assert "Cleo" not in page.locator("main").inner_text()
    expect(page.get_by_role("button", name="Show who said it")).to_have_count(0)


def test_label_is_uncovered_with_its_lawful_range_and_guesses(leader, page):
    page.goto("/#/table")
    open_tasted(page, f"/talk/{id_of('glass', 1)}")
    expect(page.locator("main")).not_to_contain_text("Clos Verrin")
    leader.press("Uncover the label")
    label = part(page, "Clos Verrin 2019")
    expect(label).to_contain_text("On the label: 13.5%. It may really be 12.7 to 14.3%.")
    first = label.get_by_role("listitem").first
    expect(first).to_contain_text("closest")


def test_results_order_the_glasses_and_test_the_agreement(page):
    page.goto("/#/table")
    open_tasted(page, "/results")
    order = part(page, "Best liked first").get_by_role("listitem")
    expect(order).to_contain_text(["Glass A", "Glass D", "Glass C", "Glass B"])
    expect(page.locator("main")).to_contain_text("The table agreed more than chance would explain")
    expect(page.locator("main")).to_contain_text(
        "28 Nov 2026 · hosted by Greta · 5 guests · 4 glasses"
    )
    # Terms of statistics are folded.
    assert not re.search(r"Kendall|ICC|Friedman|rank", page.locator("main").inner_text())
    section = page.locator("section", has=page.get_by_role("heading", name="Best liked first"))
    tap(section.get_by_role("button", name="The figures"))
    for term in ("Friedman’s test", "Kendall’s W", "Rank sums", "ISO 8587"):
        expect(section).to_contain_text(term)
    tastes = page.locator("section", has=page.get_by_role("heading", name="likes the same wines"))
    expect(tastes).to_contain_text("not how high anyone scores")
    # A pair would tell what is in a covered glass.
    expect(page.get_by_role("heading", name="The same wine twice")).to_have_count(0)
    expect(page.get_by_role("img", name="Ada").locator("text")).to_have_count(5)


def test_results_tell_who_found_the_wine_poured_twice(page):
    page.goto("/#/table")
    open_tasted(page, "/results")
    first, last = id_of("glass", 0), id_of("glass", 3)
    same = [sheet(guest, 0, guess_same_as=last) for guest in (0, 3)]
    page.evaluate(SAVE, [*same, sheet(1, 0, guess_same_as=id_of("glass", 2))])
    shown = [
        {"kind": "glass", "id": id_, "fields": {"uncovered_at": MOMENT}} for id_ in (first, last)
    ]
    page.evaluate(SAVE, shown)
    section = page.locator("section", has=page.get_by_role("heading", name="The same wine twice"))
    expect(section).to_contain_text("A: Torre Quarzo 2019 and D: Torre Quarzo 2019 were the same")
    expect(section).to_contain_text("Found by Ada and Dan.")
    expect(section).to_contain_text("3 people tried.")
    expect(section.locator("dd").first).to_contain_text("8 for A, 8 for D")


@pytest.mark.extended
def test_results_leave_out_glasses_that_are_still_closed(page):
    page.goto("/#/table")
    open_tasted(page, "/results", discussed=False)
    expect(page.locator("main")).to_contain_text("The answers for 4 glasses haven’t been shown yet")
    expect(page.get_by_role("link", name="Talk about glass A")).to_be_visible()
    expect(part(page, "Best liked first").get_by_role("listitem")).to_have_count(0)


def test_results_are_taken_away_as_csv_and_picture(leader, page):
    page.goto("/#/table")
    open_tasted(page, "/results")
    with page.expect_download() as table:
        leader.press("As a spreadsheet")
    text = table.value.path().read_text("utf-8-sig")
    assert text.splitlines()[0].startswith("glass,guest,on,leader,look_colour")
    assert text.splitlines()[1].startswith("A,Ada,2026-11-28,Greta,")
    assert len(text.splitlines()) == 21
    with page.expect_download() as picture:
        leader.press("As a picture")
    assert picture.value.path().read_bytes().startswith(b"\x89PNG")


def test_guest_who_agrees_is_remembered_and_can_be_forgotten(leader, page):
    page.goto("/#/table")
    open_tasted(page, "/results")
    tap(page.get_by_role("button", name="Ada agrees"))
    expect(page.get_by_text("Ada’s taste is saved.")).to_be_visible()
    [person] = leader.rows("person")
    assert person["name"] == "Ada"
    assert person["agreed_at"]
    assert [row["name"] for row in leader.rows("guest") if row.get("person")] == ["Ada"]
    seen = {"bottle": id_of("bottle", 9), "seen_at": MOMENT, "state": "open"}
    bottle = {"kind": "bottle", "id": id_of("bottle", 9), "fields": {"name": "Clos Verrin"}}
    page.evaluate(SAVE, [bottle, {"kind": "pick", "id": id_of("pick", 9), "fields": seen}])
    page.goto("/#/shelf")
    for_whom = page.get_by_role("group", name="Who is it for?")
    tap(for_whom.get_by_role("button", name="Ada", exact=True))
    expect(page.get_by_text("You haven’t rated a wine yet, so we can only guess.")).to_be_visible()
    page.goto("/#/table")
    tap(page.get_by_role("link", name="Ada"))
    tap(page.get_by_role("button", name="Delete Ada’s taste"))
    expect(page.get_by_text("Ada’s taste is deleted.")).to_be_visible()
    assert leader.rows("person") == []
    leader.press("Undo")
    expect(page.get_by_role("link", name="Ada")).to_be_visible()
