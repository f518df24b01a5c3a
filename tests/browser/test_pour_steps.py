"""The seven steps of a tasting: their fields, and the input of aromas."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.any_page import part, primary_action, wrong_fields
from tests.browser.engines import tap
from tests.browser.pour_page import (
    STEPS,
    Thumb,
    aroma_search,
    likely_aromas,
    name_line,
    open_pour,
    quick_note,
    records,
    visit_row,
    written,
)

pytestmark = pytest.mark.browser

RECORD = Path(__file__).resolve().parents[2] / "static" / "spec" / "record.json"

# Fields of a tasting or bottle that no input writes, with the reasons.
WRITTEN_BY_THE_BOOK = {
    "tasting.closed_at": "the moment of Keep",
    "tasting.example": "marks the example book",
    "bottle.example": "marks the example book",
    "bottle.merged_into": "written where two bottles of the Book are made one",
    "bottle.apart_from": "written where two bottles of the Book are left apart",
    "bottle.covered": "follows the label being covered and uncovered",
}


TARGETS = "a, button, label.button, input:not([type=file]), textarea, [role=slider]"
SMALL_TARGETS = """(main, targets) => [...main.querySelectorAll(targets)]
  .filter((target) => target.checkVisibility({ visibilityProperty: true }))
  .map((target) => [target.textContent || target.id, target.getBoundingClientRect()])
  .filter(([, box]) => box.width < 47.5 || box.height < 47.5)
  .map(([what, box]) => [what, box.width, box.height])"""


@pytest.fixture
def thumb(page) -> Thumb:
    """Open the quick note of a pour with a named bottle."""
    at = open_pour(page)
    quick_note(at, "Vale do Corvo", "alvarinho")
    written(page)
    return at


def fields_in_reach(page: Page) -> set[str]:
    """Return the fields on the page, with every 'more' section expanded."""
    # The groups of aromas open one at a time, and hold no field.
    quiet = page.locator('main button[aria-expanded=false]:not([aria-label="All aromas"] *)')
    while quiet.count():
        tap(quiet.first)
    return set(page.locator("[data-field]").evaluate_all("all => all.map((e) => e.dataset.field)"))


def test_every_tasting_and_bottle_field_is_reachable(page, thumb):
    found = fields_in_reach(page)
    thumb.step("Bottle")
    found |= fields_in_reach(page)
    for name in STEPS[1:]:
        thumb.primary()
        expect(page.get_by_role("heading", level=1)).to_have_text(name)
        if name == "Sips":
            thumb.judge("tannin", 0.5)
        found |= fields_in_reach(page)
        if name == "Overall":
            thumb.press(
                thumb.control("tasting.faults").get_by_role("listitem").get_by_role("button").first
            )
            found |= fields_in_reach(page)
        sips = page.get_by_role("group", name="Which sip")
        if sips.count():
            for sip in ("Second sip", "Third sip"):
                tap(sips.get_by_role("button", name=sip))
                found |= fields_in_reach(page)
    thumb.step("Bottle")
    fields_in_reach(page)
    thumb.press(visit_row(page))
    expect(page.get_by_role("dialog")).to_be_visible()
    found |= fields_in_reach(page)
    page.keyboard.press("Escape")
    thumb.press(page.get_by_role("button", name="Cover the label"))
    thumb.step("Verdict")
    found |= fields_in_reach(page)
    kinds = json.loads(RECORD.read_text(encoding="utf-8"))["kinds"]
    wanted = {f"{kind}.{name}" for kind in ("tasting", "bottle") for name in kinds[kind]["fields"]}
    assert wanted - found == set(WRITTEN_BY_THE_BOOK)


def test_next_leads_through_all_steps_without_answers(page, thumb):
    thumb.step("Bottle")
    for name in STEPS[1:]:
        thumb.primary()
        expect(page.get_by_role("heading", level=1)).to_have_text(name)
    expect(primary_action(page)).to_have_text("Save")


def test_step_opened_by_keyboard_keeps_the_focus(page, thumb):
    thumb.step("Bottle")
    links = page.get_by_role("navigation", name="The seven steps").get_by_role("link")
    links.nth(2).press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("First nose")
    expect(links.nth(2)).to_be_focused()


def test_step_with_values_is_marked(page, thumb):
    thumb.step("Look")
    knots = page.get_by_role("navigation", name="The seven steps").get_by_role("link")
    expect(knots.nth(1)).to_have_attribute("data-done", "false")
    thumb.choose("tasting.look_depth", "pale")
    expect(knots.nth(1)).to_have_attribute("data-done", "true")
    expect(knots.nth(1)).to_have_attribute("aria-current", "step")
    expect(knots.nth(1)).to_contain_text("filled in")


def test_aroma_taps_add_strengthen_and_remove_it(page, thumb):
    thumb.step("First nose")
    lemon = likely_aromas(page).get_by_role("button", name="lemon").first
    for expected in (["lemon"], ["lemon:1"], ["lemon:2"], ["lemon:3"], ["lemon"]):
        thumb.press(lemon)
        written(page)
        assert records(page, "tasting")[0]["first_nose_words"] == expected
    thumb.press(page.get_by_role("button", name="Remove lemon"))
    written(page)
    assert "first_nose_words" not in records(page, "tasting")[0]


def test_suggested_aromas_are_of_the_style_and_the_taster(page, thumb):
    thumb.step("First nose")
    near = likely_aromas(page).get_by_role("button")
    expect(near.first).to_have_text("lemon")
    expect(near.filter(has_text="leather")).to_have_count(0)
    aroma_search(page).fill("leather")
    thumb.press(page.get_by_role("group", name="Aromas found").get_by_role("button").first)
    written(page)
    page.reload()
    expect(near.filter(has_text="leather")).to_have_count(1)


def test_custom_aroma_is_stored_as_typed(page, thumb):
    thumb.step("First nose")
    aroma_search(page).fill("grandmother's attic")
    thumb.press(page.get_by_role("button", name="Add"))
    written(page)
    assert records(page, "tasting")[0]["first_nose_words"] == ["~grandmother's attic"]


def test_second_nose_shows_appeared_stayed_and_faded(page, thumb):
    thumb.step("First nose")
    for word in ("lemon", "lime"):
        thumb.press(likely_aromas(page).get_by_role("button", name=word).first)
    thumb.primary()
    thumb.press(page.get_by_role("group", name="Still there?").get_by_role("button", name="lime"))
    aroma_search(page).fill("honeysuckle")
    page.keyboard.press("Enter")
    fates = part(page, "How the aromas changed").get_by_role("listitem").all_inner_texts()
    message = {text.split("\n")[0]: text.split("\n")[-1] for text in fates}
    assert message == {"lime": "stayed", "honeysuckle": "new", "lemon": "faded"}
    written(page)
    assert records(page, "tasting")[0]["second_nose_words"] == ["lime", "honeysuckle"]


def test_scale_is_empty_until_set_and_can_be_cleared(page, thumb):
    thumb.step("Sips")
    acidity = thumb.control("tasting.acidity").first
    expect(acidity).to_contain_text("not rated")
    thumb.judge("acidity", 0.75)
    thumb.choose("tasting.just_right_acidity", "too much")
    written(page)
    tasting = records(page, "tasting")[0]
    assert tasting["acidity"] == pytest.approx(7.5, abs=0.2)
    assert tasting["just_right_acidity"] == 1
    thumb.press(page.get_by_role("button", name="Clear Acidity"))
    written(page)
    assert "acidity" not in records(page, "tasting")[0]


def test_finish_is_timed_and_can_be_corrected(page, thumb):
    thumb.step("Overall")
    finish = thumb.control("tasting.finish_s")
    thumb.press(finish.get_by_role("button", name="Start"))
    expect(finish.get_by_role("button").get_by_text("1", exact=True)).to_be_visible()
    thumb.press(finish.get_by_role("button", name="Stop"))
    written(page)
    timed = records(page, "tasting")[0]["finish_s"]
    assert 1 <= timed < 60
    thumb.control("tasting.finish_s").locator("input").fill("31")
    written(page)
    assert records(page, "tasting")[0]["finish_s"] == 31


def test_blind_label_is_hidden_until_guesses_lock(page, thumb):
    thumb.step("Bottle")
    thumb.press(page.get_by_role("button", name="Cover the label"))
    thumb.step("First nose")
    expect(page.get_by_role("main")).not_to_contain_text("Vale do Corvo")
    near = likely_aromas(page)
    for word in ("lemon", "peach", "sea air"):
        expect(near.get_by_role("button", name=word)).to_have_count(0)
    thumb.step("Verdict")
    thumb.type_into("tasting.guess_abv", "13.5")
    thumb.press(page.get_by_role("button", name="Lock my guesses"))
    expect(page.get_by_role("table")).not_to_contain_text("Albariño")
    thumb.press(page.get_by_role("button", name="Uncover the label"))
    expect(page.get_by_role("table")).to_contain_text("Vale do Corvo")
    written(page)
    tasting = records(page, "tasting")[0]
    assert tasting["guesses_locked_at"] <= tasting["uncovered_at"]
    assert records(page, "bottle")[0]["covered"] is False


def test_editing_a_saved_tasting_keeps_the_open_pour(page, thumb):
    thumb.primary()
    expect(page.get_by_text("Saved: Vale do Corvo")).to_be_visible()
    kept = records(page, "tasting")[0]
    quick_note(thumb, "The open one")
    written(page)
    page.goto(f"/#/pour/{kept['id']}/look")
    expect(page.get_by_role("heading", level=1)).to_have_text("Look")
    thumb.choose("tasting.look_depth", "deep")
    written(page)
    page.goto("/#/pour")
    expect(name_line(page)).to_have_value("The open one")
    mended = records(page, "tasting")[0]
    assert (mended["look_depth"], mended["closed_at"]) == ("deep", kept["closed_at"])


def test_missing_note_is_reported(page):
    page.goto("/#/pour/01890000-0000-7000-8000-000000000000/look")
    expect(page.get_by_text("This note isn’t on this phone")).to_be_visible()


@pytest.mark.extended
def test_touch_targets_fit_and_nothing_overflows(page, thumb):
    thumb.step("Bottle")
    small = []
    for step in STEPS:
        expect(page.get_by_role("heading", level=1)).to_have_text(step)
        fields_in_reach(page)
        assert page.evaluate("document.documentElement.scrollWidth") <= 360, step
        targets = page.get_by_role("main").evaluate(SMALL_TARGETS, TARGETS)
        small += [(step, *target) for target in targets]
        if step != STEPS[-1]:
            thumb.primary()
    assert small == []


@pytest.mark.extended
def test_label_can_declare_no_vintage(page):
    thumb = open_pour(page)
    quick_note(thumb, "Quiet House Brut", "champagne")
    thumb.step("Bottle")
    thumb.type_into("bottle.vintage", "nv")
    expect(thumb.control("bottle.vintage").get_by_role("button")).to_have_attribute(
        "aria-pressed", "true"
    )
    written(page)
    assert records(page, "bottle")[0]["non_vintage"] is True
    thumb.type_into("bottle.vintage", "201")
    expect(wrong_fields(thumb.control("bottle.vintage"))).to_have_count(0)
    thumb.type_into("bottle.vintage", "17")
    thumb.control("bottle.vintage").locator("input").blur()
    expect(thumb.control("bottle.vintage").locator("input")).to_have_value("2017")
    thumb.type_into("bottle.vintage", "20188")
    expect(thumb.control("bottle.vintage")).to_contain_text("A year, or NV")
    thumb.type_into("bottle.vintage", "2099")
    expect(thumb.control("bottle.vintage")).to_contain_text("2099 hasn’t come yet")
    written(page)
    assert records(page, "bottle")[0]["vintage"] == 2099
    thumb.type_into("bottle.vintage", "2018")
    written(page)
    [bottle] = records(page, "bottle")
    assert (bottle["vintage"], bottle.get("non_vintage")) == (2018, None)
    thumb.choose("bottle.vintage", "No vintage (NV)", "button")
    expect(thumb.control("bottle.vintage").locator("input")).to_have_value("NV")
    thumb.primary()
    thumb.step("Verdict")
    thumb.primary()
    page.goto("/#/book")
    expect(page.get_by_role("link", name="Quiet House Brut NV")).to_be_visible()
