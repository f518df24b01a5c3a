"""Scenario: one bottle with all fields, and a phone that is killed at every step."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.any_page import primary_action
from tests.browser.engines import both_engines, first_page, tap
from tests.browser.pour_page import (
    Thumb,
    kill_browser,
    records,
    wait_for_offline_copy,
    written,
)
from tests.browser.waiting import wait_until

STARTED = """async () => {
  const { db } = await import('/store/database.js');
  return Boolean((await db.meta.get('finish'))?.running);
}"""
pytestmark = [pytest.mark.browser, both_engines, pytest.mark.service_worker]


class Table:
    """A phone that tests can kill and restart."""

    def __init__(self, phone, profile: Path) -> None:
        self.phone = phone
        self.profile = profile
        self.page = self.opened()

    def opened(self) -> Page:
        page = first_page(self.phone(self.profile))
        page.goto("/")
        expect(primary_action(page)).to_be_visible()
        return page

    def killed_and_opened(self, step: str) -> Thumb:
        """Kill and restart the phone, and check that the start page opens the same step."""
        written(self.page)
        kill_browser(self.profile)
        self.page = self.opened()
        expect(self.page.get_by_role("heading", level=1)).to_have_text(step)
        return Thumb(self.page)


@pytest.fixture
def table(phone, live_server, tmp_path) -> Table:
    at = Table(phone, tmp_path / "phone on the table")
    wait_for_offline_copy(at.page)
    live_server.kill()
    return at


def guest_writes_the_label(thumb: Thumb) -> None:
    tap(thumb.page.get_by_role("link", name="Taste step by step"))
    # Wait for the step, because the quick note has an input of the same name.
    expect(thumb.page.get_by_role("heading", level=1)).to_have_text("Bottle")
    thumb.type_into("bottle.name", "Torre del Gelso")
    thumb.type_into("bottle.vintage", "2019")
    thumb.type_into("bottle.label_abv", "14")
    thumb.choose_style("barolo")
    thumb.press(thumb.page.get_by_role("button", name="Cover the label"))
    expect(thumb.page.get_by_role("main")).not_to_contain_text("Torre del Gelso")


def look(thumb: Thumb) -> None:
    thumb.primary()
    thumb.press(thumb.page.get_by_role("radio", name="Red"))
    thumb.choose("tasting.look_hue", "garnet")
    thumb.choose("tasting.look_depth", "pale")
    thumb.choose("tasting.look_rim", "wide")
    thumb.choose("tasting.look_gradation", "changes a little")


def note_words(thumb: Thumb, *words: str) -> None:
    for word in words:
        thumb.page.locator("input[type=search]").fill(word)
        thumb.page.keyboard.press("Enter")


def first_nose(thumb: Thumb) -> None:
    thumb.primary()
    thumb.judge("intensity", 0.6)
    note_words(thumb, "sour cherry", "rose", "old cupboard")


def second_nose(thumb: Thumb) -> None:
    thumb.primary()
    still = thumb.page.get_by_role("group", name="Still there?")
    thumb.press(still.get_by_role("button", name="rose"))
    note_words(thumb, "tar")
    thumb.choose("tasting.fruit_state", "ripe")
    thumb.judge("oak", 0.3)


def sips(thumb: Thumb) -> None:
    thumb.primary()
    for scale, share in {
        "sweetness": 0.02,
        "acidity": 0.8,
        "tannin": 0.9,
        "body": 0.6,
        "warmth": 0.7,
    }.items():
        thumb.judge(scale, share)
    thumb.choose("tasting.just_right_tannin", "too much")
    thumb.choose("tasting.warmth_where", "throat")
    note_words(thumb, "liquorice")
    thumb.press(thumb.page.get_by_role("button", name="Second sip"))
    thumb.press(thumb.page.get_by_role("group", name="Still there?").get_by_role("button"))


def whole(thumb: Thumb) -> None:
    thumb.judge("balance", 0.7)
    thumb.press(thumb.page.get_by_role("button", name="Tannin", exact=True))
    thumb.judge("complexity", 0.8)


def verdict(thumb: Thumb) -> None:
    thumb.primary()
    thumb.judge("liking", 0.76)
    thumb.choose("tasting.would_buy", "yes")
    thumb.type_into("tasting.guess_abv", "14.5")
    thumb.type_into("tasting.guess_age_years", "5")
    thumb.press(thumb.page.get_by_role("button", name="Lock my guesses"))
    thumb.press(thumb.page.get_by_role("button", name="Uncover the label"))


def test_full_sheet_survives_a_kill_at_every_step(table):
    thumb = Thumb(table.page)
    guest_writes_the_label(thumb)
    thumb = table.killed_and_opened("Bottle")
    expect(table.page.get_by_role("main")).not_to_contain_text("Torre del Gelso")
    look(thumb)
    thumb = table.killed_and_opened("Look")
    first_nose(thumb)
    thumb = table.killed_and_opened("First nose")
    second_nose(thumb)
    thumb = table.killed_and_opened("Second nose")
    sips(thumb)
    thumb = table.killed_and_opened("Sips")
    thumb.primary()
    thumb.press(thumb.control("tasting.finish_s").get_by_role("button", name="Start"))
    wait_until(table.page, lambda: table.page.evaluate(STARTED), "the stored start of the finish")
    thumb = table.killed_and_opened("Overall")
    thumb.press(thumb.page.get_by_role("button", name="Stop"))
    whole(thumb)
    verdict(thumb)
    thumb = table.killed_and_opened("Verdict")
    expect(table.page.get_by_role("table")).to_contain_text("14.5%")
    thumb.primary()
    expect(table.page.get_by_text("Saved: Torre del Gelso 2019")).to_be_visible()

    (tasting,) = records(table.page, "tasting")
    (bottle,) = records(table.page, "bottle")
    values = {
        "label_hidden": True, "look_hue": "red_garnet", "look_depth": "pale", "look_rim": "wide",
        "look_gradation": "slight", "first_nose_words": ["sour_cherry", "rose", "~old cupboard"],
        "second_nose_words": ["rose", "tar"], "fruit_state": "ripe", "just_right_tannin": 1,
        "warmth_where": "throat", "sip_words": ["liquorice"], "sip_2_words": ["liquorice"],
        "standout": ["tannin"], "liking": 7, "would_buy": "yes", "guess_abv": 14.5,
        "guess_age_years": 5, "bottle": bottle["id"],
    }  # fmt: skip
    assert {name: tasting.get(name) for name in values} == values
    scales = {
        "intensity": 6, "oak": 3, "sweetness": 0.2, "acidity": 8, "tannin": 9, "body": 6,
        "warmth": 7, "balance": 7, "complexity": 8,
    }  # fmt: skip
    assert {name: tasting[name] for name in scales} == pytest.approx(scales, abs=0.25)
    assert tasting["finish_s"] > 0
    assert tasting["guesses_locked_at"] <= tasting["uncovered_at"] <= tasting["closed_at"]
    assert bottle == {
        "id": bottle["id"], "name": "Torre del Gelso", "vintage": 2019, "label_abv": 14,
        "style": bottle["style"], "colour": "red", "kind": "still", "covered": False,
    }  # fmt: skip
