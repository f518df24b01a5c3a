"""Choosing aromas: groups that open, likely ones by style and colour, typos, one's own words."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.any_page import part
from tests.browser.pour_page import (
    Thumb,
    aroma_search,
    likely_aromas,
    noted_words,
    open_pour,
    quick_note,
    records,
    written,
)
from tests.browser.seed_records import put
from tests.browser.waiting import wait_for_idle

pytestmark = pytest.mark.browser
TOP = "(chip) => chip.getBoundingClientRect().top"


def start(page: Page, style: str = "") -> Thumb:
    """Open the first nose of a wine."""
    thumb = open_pour(page)
    quick_note(thumb, "Colle Rosso", style)
    thumb.step("First nose")
    return thumb


def earlier(page: Page, day: int, **fields: Any) -> None:
    at = f"2026-05-{day:02}T18:00:00+02:00"
    bottle = put(page, "bottle", {"name": f"Cask {day}"})
    put(page, "tasting", {"bottle": bottle, "tasted_at": at, "closed_at": at, **fields})


def group(page: Page, name: str) -> Any:
    return page.get_by_role("region", name="All aromas").get_by_role("button", name=name)


def test_nine_groups_open_one_at_a_time(page):
    thumb = start(page)
    groups = page.get_by_role("region", name="All aromas").get_by_role("button")
    expect(groups).to_have_count(9)
    thumb.press(group(page, "Spice"))
    thumb.press(page.get_by_role("list", name="Spice").get_by_role("button", name="clove"))
    written(page)
    assert records(page, "tasting")[0]["first_nose_words"] == ["clove"]
    expect(group(page, "Spice")).to_contain_text("1")
    thumb.press(group(page, "Nuts"))
    expect(page.get_by_role("list", name="Nuts")).to_contain_text("hazelnut")
    expect(page.get_by_role("list", name="Spice")).to_have_count(0)
    expect(page.get_by_role("region", name="All aromas")).not_to_contain_text("clove")


def test_pressed_aroma_keeps_its_place(page):
    thumb = start(page, "barolo")
    for at in range(5):
        chip = likely_aromas(page).get_by_role("button").nth(at)
        chip.scroll_into_view_if_needed()
        before = chip.evaluate(TOP)
        thumb.press(chip)
        expect(noted_words(page)).to_have_count(at + 1)
        wait_for_idle(page)
        assert chip.evaluate(TOP) == pytest.approx(before, abs=1)


@pytest.mark.extended
def test_timeline_dots_of_a_moment_are_in_one_column(page):
    thumb = start(page)
    noted = {"First nose": ["rose"], "Second nose": ["rose", "tar"], "Sips": ["rose", "liquorice"]}
    for step, words in noted.items():
        thumb.step(step)
        for word in words:
            aroma_search(page).fill(word)
            page.keyboard.press("Enter")
    changes = part(page, "How the aromas changed")
    expect(changes).to_contain_text("came and went")
    lefts = changes.locator("svg").evaluate_all(
        "(all) => all.map((one) => one.getBoundingClientRect().x)"
    )
    assert len(lefts) == 3
    assert len(set(lefts)) == 1


@pytest.mark.extended
def test_large_group_shows_expected_families_and_opens_others(page):
    thumb = start(page, "barolo")
    thumb.press(group(page, "Fruit"))
    families = page.get_by_role("list", name="Fruit")
    expect(families.get_by_role("button", name="raspberry")).to_be_visible()
    expect(families.get_by_role("button", name="pineapple", exact=True)).to_have_count(0)
    thumb.press(families.get_by_role("button", name="tropical fruit"))
    thumb.press(families.get_by_role("button", name="pineapple", exact=True))
    written(page)
    assert records(page, "tasting")[0]["first_nose_words"] == ["pineapple"]


@pytest.mark.extended
def test_last_words_of_a_red_do_not_lead_for_a_white(page):
    open_pour(page)
    earlier(page, 2, sip_words=["tar", "leather", "black_cherry", "lemon"])
    start(page, "alvarinho")
    near = likely_aromas(page).get_by_role("button")
    expect(near.first).to_have_text("lemon")
    texts = [text.strip() for text in near.all_inner_texts()]
    assert not {"tar", "leather", "black cherry"} & set(texts[:8])


def test_aroma_is_found_with_a_typo(page):
    thumb = start(page)
    aroma_search(page).fill("rasbery")
    thumb.press(page.get_by_role("group", name="Aromas found").get_by_role("button").first)
    written(page)
    assert records(page, "tasting")[0]["first_nose_words"] == ["raspberry"]


@pytest.mark.extended
def test_own_words_are_offered_again_most_used_first(page):
    open_pour(page)
    earlier(page, 2, sip_words=["~attic"])
    earlier(page, 3, sip_words=["~smoked tea"])
    earlier(page, 4, first_nose_words=["~smoked tea"])
    thumb = start(page)
    own = page.get_by_role("group", name="Your own words").get_by_role("button")
    expect(own).to_have_text(["smoked tea", "attic"])
    thumb.press(own.first)
    written(page)
    assert records(page, "tasting")[0]["first_nose_words"] == ["~smoked tea"]
    expect(own.first).to_have_attribute("aria-pressed", "true")
    thumb.press(own.first)
    written(page)
    assert "first_nose_words" not in records(page, "tasting")[0]
    aroma_search(page).fill("smok")
    found = page.get_by_role("group", name="Aromas found").get_by_role("button")
    expect(found.first).to_have_text("smoked tea")


def test_words_of_the_example_are_not_offered_as_own(page):
    open_pour(page)
    earlier(page, 2, sip_words=["~attic"], example=True)
    earlier(page, 3, sip_words=["~smoked tea"])
    start(page)
    own = page.get_by_role("group", name="Your own words").get_by_role("button")
    expect(own).to_have_text(["smoked tea"])


PLACES = """(group) => [...group.querySelectorAll('button')].map((one) => {
  const { left, top, width } = one.getBoundingClientRect();
  return [left, top, width].map(Math.round);
})"""


def test_chosen_aroma_moves_no_other_and_names_its_strength(page):
    thumb = start(page, "barolo")
    near = likely_aromas(page)
    expect(near).to_be_visible()
    places = near.evaluate(PLACES)
    first = near.get_by_role("button").first
    thumb.press(first)
    expect(first).to_have_attribute("aria-pressed", "true")
    assert near.evaluate(PLACES) == places
    how = page.get_by_text("Tap an aroma again to say how strong it is")
    expect(how).to_be_visible()
    thumb.press(first)
    expect(page.get_by_role("list", name="Your aromas")).to_contain_text("faint")
    expect(how).to_have_count(0)
    assert near.evaluate(PLACES) == places


def test_swallowing_does_not_tick_the_overall_step(page):
    thumb = start(page)
    thumb.step("Overall")
    thumb.press(thumb.control("tasting.spat").get_by_role("radio").first)
    overall = page.get_by_role("link", name="Overall")
    expect(overall).to_have_attribute("data-done", "false")


@pytest.mark.extended
def test_inky_is_not_offered_for_a_white(page):
    thumb = start(page)
    thumb.step("Look")
    thumb.press(page.get_by_role("radio", name="White"))
    depth = thumb.control("tasting.look_depth")
    expect(depth.get_by_role("radio", name="deep")).to_be_visible()
    expect(depth.get_by_role("radio", name="inky")).to_have_count(0)
    thumb.press(page.get_by_role("radio", name="Red"))
    expect(depth.get_by_role("radio", name="inky")).to_be_visible()


def test_scale_says_out_of_what_and_tannin_what_it_is(page):
    thumb = start(page)
    thumb.step("Sips")
    expect(page.get_by_text("Tannin dries your gums")).to_be_visible()
    slider = page.get_by_role("slider", name="Tannin")
    slider.press("ArrowRight")
    expect(slider).to_have_attribute("aria-valuetext", "5.5 out of 10")
