"""Choosing aromas: groups that open, likely ones by style and colour, typos, one's own words."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.pour_page import Thumb, open_pour, quick_note, records, written
from tests.browser.seed_records import put

pytestmark = pytest.mark.browser


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
    groups = page.locator(".aroma-groups > .choices > button")
    expect(groups).to_have_count(9)
    thumb.press(group(page, "Spice"))
    thumb.press(page.locator(".families").get_by_role("button", name="clove"))
    written(page)
    assert records(page, "tasting")[0]["first_nose_words"] == ["clove"]
    expect(group(page, "Spice")).to_contain_text("1")
    thumb.press(group(page, "Nuts"))
    expect(page.locator(".families")).to_have_count(1)
    expect(page.locator(".families")).to_contain_text("hazelnut")
    expect(page.locator(".families")).not_to_contain_text("clove")


def test_large_group_shows_expected_families_and_opens_others(page):
    thumb = start(page, "barolo")
    thumb.press(group(page, "Fruit"))
    families = page.locator(".families")
    expect(families.get_by_role("button", name="raspberry")).to_be_visible()
    expect(families.get_by_role("button", name="pineapple", exact=True)).to_have_count(0)
    thumb.press(families.get_by_role("button", name="tropical fruit"))
    thumb.press(families.get_by_role("button", name="pineapple", exact=True))
    written(page)
    assert records(page, "tasting")[0]["first_nose_words"] == ["pineapple"]


def test_last_words_of_a_red_do_not_lead_for_a_white(page):
    open_pour(page)
    earlier(page, 2, sip_words=["tar", "leather", "black_cherry", "lemon"])
    start(page, "alvarinho")
    near = page.get_by_role("group", name="Most likely aromas").get_by_role("button")
    expect(near.first).to_have_text("lemon")
    texts = [text.strip() for text in near.all_inner_texts()]
    assert not {"tar", "leather", "black cherry"} & set(texts[:8])


def test_aroma_is_found_with_a_typo(page):
    thumb = start(page)
    page.locator(".aromas input").fill("rasbery")
    thumb.press(page.get_by_role("group", name="Aromas found").get_by_role("button").first)
    written(page)
    assert records(page, "tasting")[0]["first_nose_words"] == ["raspberry"]


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
    page.locator(".aromas input").fill("smok")
    found = page.get_by_role("group", name="Aromas found").get_by_role("button")
    expect(found.first).to_have_text("smoked tea")
