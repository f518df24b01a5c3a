"""The Look step of a blind wine: its colour is saved and selects aromas; its age is guessed."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.any_page import part
from tests.browser.pour_page import Thumb, open_pour, records, written
from tests.browser.seed_records import address_id, put

pytestmark = pytest.mark.browser

OF_WHITES = ("lemon", "green apple", "acacia")


@pytest.fixture
def hidden(page: Page) -> tuple[Thumb, str]:
    """Open a blind red wine at its Look step, after two whites. Return its tasting id too."""
    thumb = open_pour(page)
    for day in (1, 2):
        put(page, "tasting", {
            "tasted_at": f"2024-02-0{day}T20:00:00+01:00",
            "closed_at": f"2024-02-0{day}T20:00:00+01:00",
            "first_nose_words": ["lemon", "green_apple", "acacia"],
        })  # fmt: skip
    bottle = put(page, "bottle", {"name": "Torre del Gelso", "style": "red_barolo"})
    glass = {"bottle": bottle, "label_hidden": True, "tasted_at": "2024-02-03T20:00:00+01:00"}
    tasting = put(page, "tasting", glass)
    page.goto(f"/#/pour/{tasting}/look")
    expect(page.get_by_role("heading", level=1)).to_have_text("Look")
    return thumb, tasting


def likeliest(page: Page) -> Locator:
    return page.get_by_role("group", name="Most likely aromas")


def kept(page: Page, tasting: str) -> dict[str, object]:
    written(page)
    return next(row for row in records(page, "tasting") if row["id"] == tasting)


def expect_no_white_words(page: Page) -> None:
    expect(likeliest(page).get_by_role("button").first).to_be_visible()
    for word in OF_WHITES:
        expect(likeliest(page).get_by_role("button", name=word, exact=True)).to_have_count(0)


@pytest.mark.extended
def test_hidden_wine_of_no_colour_proposes_no_lemon(page, hidden):
    thumb, _ = hidden
    thumb.step("First nose")
    expect_no_white_words(page)


def test_hidden_red_proposes_red_words(page, hidden):
    thumb, _ = hidden
    thumb.choose("tasting.look_colour", "Red")
    thumb.step("First nose")
    expect(likeliest(page).get_by_role("button", name="blackberry")).to_have_count(1)
    expect_no_white_words(page)


@pytest.mark.extended
def test_hidden_white_proposes_white_words(page, hidden):
    thumb, _ = hidden
    thumb.choose("tasting.look_colour", "White")
    thumb.step("First nose")
    expect(likeliest(page).get_by_role("button", name="lemon", exact=True)).to_have_count(1)


@pytest.mark.extended
def test_bottle_of_a_colour_without_style_proposes_its_words(page, hidden):
    thumb, _ = hidden
    bottle = put(page, "bottle", {"name": "Rotwein", "colour": "red"})
    tasting = put(page, "tasting", {"bottle": bottle, "tasted_at": "2024-02-03T20:00:00+01:00"})
    page.goto(f"/#/pour/{tasting}/look")
    thumb.step("First nose")
    expect(likeliest(page).get_by_role("button", name="blackberry")).to_have_count(1)
    expect_no_white_words(page)


def test_colour_without_a_hue_is_kept_and_shown(page, hidden):
    thumb, tasting = hidden
    thumb.choose("tasting.look_colour", "Red")
    assert kept(page, tasting)["look_colour"] == "red"
    page.reload()
    red = thumb.control("tasting.look_colour").get_by_role("radio", name="Red", exact=True)
    expect(red).to_have_attribute("aria-checked", "true")
    page.goto(f"/#/book/{tasting}")
    look = page.get_by_role("group").filter(has=page.get_by_role("heading", name="Look"))
    expect(look).to_contain_text("Red")


def test_another_colour_removes_the_hue_of_the_first(page, hidden):
    thumb, tasting = hidden
    thumb.choose("tasting.look_colour", "Red")
    thumb.choose("tasting.look_hue", "garnet")
    thumb.choose("tasting.look_colour", "White")
    glass = kept(page, tasting)
    assert glass["look_colour"] == "white"
    assert "look_hue" not in glass


def test_colours_without_hues_stand_side_by_side(page, hidden):
    thumb, tasting = hidden
    thumb.choose("tasting.look_colour", "Red")
    written(page)
    other = put(page, "tasting", {"look_colour": "rose", "tasted_at": "2024-02-03T21:00:00Z"})
    page.goto(f"/#/pour/side?of={tasting},{other}")
    beside = [re.compile(r"A\s*Red"), re.compile(r"B\s*Rosé")]
    expect(part(page, "Colour").get_by_role("listitem")).to_have_text(beside)


def test_hidden_age_is_guessed_as_vintage(page, hidden):
    thumb, tasting = hidden
    thumb.step("Verdict")
    vintage = page.get_by_label("Guess: vintage", exact=True)
    age = thumb.control("tasting.guess_age_years").get_by_role("textbox")
    vintage.fill("2025")
    expect(page.get_by_text("A year between 1824 and 2024")).to_be_visible()
    vintage.fill("2016")
    expect(age).to_have_value("8")
    assert kept(page, tasting)["guess_age_years"] == 8
    age.fill("10")
    expect(vintage).to_have_value("2014")


def test_guessed_vintage_meets_the_label(page, hidden):
    thumb, _ = hidden
    bottle = put(page, "bottle", {"name": "Alte Halde", "vintage": 2015})
    glass = {"bottle": bottle, "label_hidden": True, "tasted_at": "2024-02-03T20:00:00+01:00"}
    page.goto(f"/#/pour/{put(page, 'tasting', glass)}/verdict")
    page.get_by_label("Guess: vintage", exact=True).fill("2016")
    thumb.press(page.get_by_role("button", name="Lock my guesses"))
    thumb.press(page.get_by_role("button", name="Uncover the label"))
    row = page.get_by_role("row").filter(has_text="Vintage")
    expect(row.get_by_role("rowheader")).to_have_text("Vintage")
    expect(row).to_contain_text("2016 (8 years)")
    expect(row).to_contain_text("2015 (9 years)")


def test_locking_and_uncovering_are_apart(page, hidden):
    thumb, _ = hidden
    thumb.step("Verdict")
    lock = page.get_by_role("button", name="Lock my guesses").bounding_box()
    uncover = page.get_by_role("button", name="Uncover the label").bounding_box()
    assert uncover["y"] - (lock["y"] + lock["height"]) >= 16


@pytest.mark.extended
def test_revealed_label_links_to_all_guesses(page):
    thumb = open_pour(page)
    thumb.type_into("bottle.name", "Torre del Gelso")
    thumb.type_into("bottle.label_abv", "14")
    thumb.step("Bottle")
    thumb.press(page.get_by_role("button", name="Cover the label"))
    thumb.step("Verdict")
    thumb.type_into("tasting.guess_abv", "13")
    expect(page.get_by_role("button", name="Uncover the label")).to_be_disabled()
    thumb.press(page.get_by_role("button", name="Lock my guesses"))
    thumb.press(page.get_by_role("button", name="Uncover the label"))
    thumb.press(page.get_by_role("link", name="All your guesses"))
    expect(page.get_by_role("main")).to_contain_text("One guess, 1% alcohol too low.")
    assert address_id(page) == "guesses"
