"""The quick note of the Pour screen."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.browser.any_page import items, part, primary_action
from tests.browser.engines import tap
from tests.browser.pour_page import name_line, open_pour, quick_note, records, visit_row, written
from tests.browser.waiting import wait_for_idle

pytestmark = pytest.mark.browser

TITLES_OF_A_DOUBLE_PRESS = """async () => {
    const titles = new Set();
    const read = () => titles.add(document.querySelector('h1').textContent);
    const all = { subtree: true, childList: true, characterData: true };
    new MutationObserver(read).observe(document, all);
    const keep = document.querySelector('.at-thumb .primary');
    keep.click();
    keep.click();
    while (document.querySelector('.name-input').value) await new Promise(requestAnimationFrame);
    read();
    return [...titles];
}"""

SAVE_AND_LEAVE = """() => {
    document.querySelector('.at-thumb .primary').click();
    document.querySelector('a[href="#/palate"]').click();
}"""


def test_untouched_pour_creates_no_record(page):
    open_pour(page)
    page.reload()
    open_pour(page)
    assert records(page, "tasting") == []
    assert records(page, "bottle") == []


def test_quick_note_takes_at_most_eight_taps(page):
    thumb = open_pour(page)
    quick_note(thumb, "Vale do Corvo", "alvarinho", "12.5", 0.76, "Salt and lime")
    thumb.primary()
    expect(page.get_by_text("Saved: Vale do Corvo")).to_be_visible()
    assert thumb.taps <= 8
    tasting = records(page, "tasting")[0]
    bottle = records(page, "bottle")[0]
    assert bottle["name"] == "Vale do Corvo"
    assert (bottle["style"], bottle["label_abv"]) == ("wht_albarino", 12.5)
    assert (tasting["liking"], tasting["words"]) == (7, "Salt and lime")
    assert tasting["bottle"] == bottle["id"]
    assert {"tasted_at", "closed_at"} <= set(tasting)


def test_every_keystroke_is_saved(page):
    thumb = open_pour(page)
    thumb.control("bottle.name").locator("input").press_sequentially("Serra Alta", delay=5)
    written(page)
    page.reload()
    expect(name_line(page)).to_have_value("Serra Alta")


def test_finish_opens_the_next_pour_with_place_and_visit(page):
    thumb = open_pour(page)
    thumb.press(visit_row(page))
    page.get_by_label("Where", exact=True).fill("Cellar of the three oaks")
    page.get_by_label("Name of the tasting").fill("Three oaks, autumn")
    tap(page.get_by_role("button", name="Start a tasting"))
    quick_note(thumb, "First of six")
    before = thumb.taps
    thumb.primary()
    expect(name_line(page)).to_have_value("")
    assert thumb.taps - before == 1
    expect(visit_row(page)).to_contain_text("wine 2")
    quick_note(thumb, "Second of six")
    written(page)
    visits = records(page, "visit")
    tastings = records(page, "tasting")
    assert [visit["name"] for visit in visits] == ["Three oaks, autumn"]
    assert {tasting["visit"] for tasting in tastings} == {visits[0]["id"]}
    assert {tasting["place"] for tasting in tastings} == {"Cellar of the three oaks"}


@pytest.mark.extended
def test_double_click_on_finish_saves_once(page):
    thumb = open_pour(page)
    quick_note(thumb, "Twice pressed")
    titles = page.evaluate(TITLES_OF_A_DOUBLE_PRESS)
    expect(page.get_by_text("Saved: Twice pressed")).to_be_visible()
    expect(name_line(page)).to_have_value("")
    assert page.url.endswith("#/pour")
    assert titles == ["Pour"]
    assert len(records(page, "tasting")) == 1


@pytest.mark.extended
def test_save_does_not_call_back_who_left(page):
    thumb = open_pour(page)
    quick_note(thumb, "Serra Alta")
    page.evaluate(SAVE_AND_LEAVE)
    expect(page.get_by_text("Saved: Serra Alta")).to_be_visible()
    expect(page.get_by_role("heading", name="Palate", level=1)).to_be_visible()
    assert page.evaluate("location.hash") == "#/palate"


def test_second_click_does_not_act_on_the_next_pour(page):
    thumb = open_pour(page)
    quick_note(thumb, "Twice pressed")
    thumb.primary()
    expect(page.get_by_text("Saved: Twice pressed")).to_be_visible()
    expect(name_line(page)).to_have_value("")
    primary_action(page).dispatch_event("click", {"detail": 2})
    page.evaluate("new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")
    # It would say what is missing in the next pour; the toast may have gone by now.
    assert page.locator(".toast span").all_inner_texts() in ([], ["Saved: Twice pressed"])


def test_click_after_a_rejected_finish_saves_the_pour(page):
    thumb = open_pour(page)
    quick_note(thumb, "Strong stuff", abv="42")
    thumb.primary()
    expect(page.get_by_text("Please correct the marked entry")).to_be_visible()
    thumb.control("bottle.label_abv").locator("input").fill("14.5")
    thumb.primary()
    expect(page.get_by_text("Saved: Strong stuff")).to_be_visible()


def test_ended_visit_takes_no_more_pours(page):
    thumb = open_pour(page)
    thumb.press(visit_row(page))
    tap(page.get_by_role("button", name="Start a tasting"))
    quick_note(thumb, "Part of the tasting")
    thumb.primary()
    expect(name_line(page)).to_have_value("")
    thumb.press(visit_row(page))
    tap(page.get_by_role("button", name="End the tasting"))
    quick_note(thumb, "After the tasting")
    thumb.primary()
    expect(name_line(page)).to_have_value("")
    visited, after = records(page, "tasting")
    assert "visit" in visited
    assert "visit" not in after
    assert "ended_at" in records(page, "visit")[0]


def test_empty_pour_is_explained_and_not_saved(page):
    thumb = open_pour(page)
    thumb.primary()
    expect(page.get_by_text("Nothing to save yet")).to_be_visible()
    assert records(page, "tasting") == []


@pytest.mark.extended
def test_pour_with_all_values_cleared_leaves_no_record(page):
    thumb = open_pour(page)
    quick_note(thumb, "A slip")
    tap(page.get_by_role("link", name="Taste step by step"))
    tap(page.get_by_role("link", name="Back"))
    thumb.type_into("bottle.name", "")
    written(page)
    assert page.url.endswith("/note")
    thumb.primary()
    expect(page.get_by_text("Nothing to save yet")).to_be_visible()
    expect(name_line(page)).to_have_value("")
    assert page.url.endswith("#/pour")
    assert records(page, "tasting") == []
    assert records(page, "bottle") == []


def test_undo_reopens_a_finished_pour(page):
    thumb = open_pour(page)
    quick_note(thumb, "Too early")
    thumb.primary()
    expect(page.get_by_text("Saved: Too early")).to_be_visible()
    expect(name_line(page)).to_have_value("")
    # A second tap, which finds nothing to save, leaves the button.
    thumb.primary()
    wait_for_idle(page)
    tap(page.get_by_role("button", name="Undo"))
    expect(name_line(page)).to_have_value("Too early")
    written(page)
    assert "closed_at" not in records(page, "tasting")[0]


def test_known_bottle_is_suggested_and_reused(page):
    thumb = open_pour(page)
    quick_note(thumb, "Colle Ginestra", "barbera", "14", 0.9)
    thumb.primary()
    expect(name_line(page)).to_have_value("")
    quick_note(thumb, "colle gin")
    offered = items(page, "Is it one of these?")
    expect(page.get_by_text("Is it one of these?", exact=True)).to_be_visible()
    thumb.press(offered.get_by_role("button").first)
    expect(page.get_by_text("Tasted once before")).to_be_visible()
    expect(page.get_by_text("Tasted once before")).to_contain_text("like very much")
    thumb.judge("liking", 0.5)
    thumb.primary()
    expect(name_line(page)).to_have_value("")
    assert [bottle["name"] for bottle in records(page, "bottle")] == ["Colle Ginestra"]
    first, second = records(page, "tasting")
    assert first["bottle"] == second["bottle"]
    assert (first["liking"], second["liking"]) == (8, 5)


@pytest.mark.extended
def test_another_vintage_copies_the_bottle_without_strength(page):
    thumb = open_pour(page)
    quick_note(thumb, "Colle Ginestra", "barbera", "14")
    thumb.primary()
    expect(name_line(page)).to_have_value("")
    quick_note(thumb, "colle g")
    thumb.press(page.get_by_role("button", name="another vintage"))
    expect(name_line(page)).to_have_value("Colle Ginestra")
    written(page)
    first, second = records(page, "bottle")
    assert first["style"] == second["style"]
    assert "label_abv" not in second


def test_invalid_value_is_explained_and_kept_as_typed(page):
    thumb = open_pour(page)
    quick_note(thumb, "Strong stuff", abv="42")
    strength = thumb.control("bottle.label_abv")
    expect(strength).to_contain_text("Please enter 25 or less.")
    thumb.primary()
    expect(page.get_by_text("Please correct the marked entry")).to_be_visible()
    expect(strength.locator("input")).to_have_value("42")
    assert "label_abv" not in records(page, "bottle")[0]
    thumb.step("Verdict")
    thumb.primary()
    expect(page.get_by_role("heading", level=1)).to_have_text("Bottle")
    strength.locator("input").fill("24.5")
    thumb.step("Verdict")
    thumb.primary()
    expect(page.get_by_text("Saved: Strong stuff")).to_be_visible()
    assert records(page, "bottle")[0]["label_abv"] == 24.5


def test_style_is_found_by_grape_nickname_and_region(page):
    thumb = open_pour(page)
    thumb.press(thumb.control("bottle.style").get_by_role("button"))
    search = page.get_by_role("dialog").get_by_role("searchbox")
    for letters, found in (
        ("nebbiolo", "Nebbiolo"),
        ("bubbly", "Champagne"),
        ("mosel", "Riesling"),
        ("nebiolo", "Nebbiolo"),
    ):
        search.fill(letters)
        expect(page.get_by_role("dialog").get_by_role("listitem").first).to_contain_text(found)
    search.fill("xyzzy")
    expect(page.get_by_role("dialog")).to_contain_text("Nothing found.")


def test_selected_bottle_leaves_the_open_pour_saved(page):
    thumb = open_pour(page)
    quick_note(thumb, "From the shelf", "barolo")
    thumb.primary()
    expect(name_line(page)).to_have_value("")
    quick_note(thumb, "Interrupted")
    written(page)
    page.goto(f"/#/pour?bottle={records(page, 'bottle')[0]['id']}")
    expect(page.get_by_text("Tasted once before")).to_be_visible()
    thumb.press(part(page, "Unfinished notes").get_by_role("link"))
    expect(name_line(page)).to_have_value("Interrupted")
    assert len(records(page, "tasting")) == 2
