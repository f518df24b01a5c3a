"""How many taps a whole tasting takes with one thumb."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.browser.pour_page import Thumb, open_pour, quick_note, records

pytestmark = pytest.mark.browser


def words(thumb: Thumb, count: int) -> None:
    near = thumb.page.get_by_role("group", name="Most likely aromas").get_by_role("button")
    for at in range(count):
        thumb.press(near.nth(at))


def noses(thumb: Thumb) -> None:
    thumb.primary()
    thumb.judge("intensity", 0.6)
    words(thumb, 3)
    thumb.primary()
    still = thumb.page.get_by_role("group", name="Still there?").get_by_role("button")
    for at in range(2):
        thumb.press(still.nth(at))
    words(thumb, 1)
    thumb.choose("tasting.fruit_state", "ripe")
    thumb.judge("oak", 0.3)


def mouth(thumb: Thumb) -> None:
    thumb.primary()
    for scale in ("sweetness", "acidity", "tannin", "bitterness", "body", "warmth"):
        thumb.judge(scale, 0.4)
    thumb.choose("tasting.tannin_texture", "firm")
    thumb.choose("tasting.warmth_where", "throat")
    words(thumb, 1)
    thumb.primary()
    timer = thumb.control("tasting.finish_s")
    thumb.press(timer.get_by_role("button", name="Start"))
    thumb.press(timer.get_by_role("button", name="Stop"))
    thumb.choose("tasting.spat", "spat")
    thumb.judge("balance", 0.7)
    thumb.judge("complexity", 0.6)


def test_full_sheet_takes_at_most_forty_taps(page: Page) -> None:
    thumb = open_pour(page)
    quick_note(thumb, "Colle Rosso 2019", "barolo")
    thumb.press(thumb.page.get_by_role("link", name="Taste step by step"))
    expect(page.get_by_role("heading", level=1)).to_have_text("Bottle")
    thumb.primary()
    thumb.press(page.get_by_role("radio", name="Red"))
    thumb.choose("tasting.look_hue", "garnet")
    thumb.choose("tasting.look_depth", "medium")
    thumb.choose("tasting.look_rim", "narrow")
    noses(thumb)
    mouth(thumb)
    thumb.primary()
    thumb.judge("liking", 0.76)
    thumb.choose("tasting.would_buy", "yes")
    thumb.primary()
    expect(page.get_by_text("Saved: Colle Rosso 2019")).to_be_visible()
    expect(page.get_by_role("heading", level=1)).to_have_text("Colle Rosso 2019")
    assert thumb.taps <= 40
    [tasting] = records(page, "tasting")
    answered = {"look_hue", "sweetness", "bitterness", "tannin_texture", "spat", "finish_s"}
    assert answered | {"balance", "complexity", "liking", "would_buy"} <= set(tasting)
    assert len(tasting["first_nose_words"]) == 3
