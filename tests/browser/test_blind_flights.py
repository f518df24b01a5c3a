"""Blind flights: labels stay hidden until they are revealed, then guesses are compared."""

from __future__ import annotations

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.any_page import items, part
from tests.browser.book_page import lines, search
from tests.browser.engines import tap
from tests.browser.pour_page import (
    Thumb,
    covered_name,
    name_line,
    open_pour,
    records,
    visit_wines,
    written,
)
from tests.browser.seed_records import address_id, kept_here, put
from tests.browser.waiting import wait_for_idle

pytestmark = pytest.mark.browser

WINES = [("Poggio Nero", "chianti", "13.5"), ("Alte Halde", "riesling", "12"),
         ("Torre del Gelso", "barolo", "14")]  # fmt: skip
DRAFT = "Wines of the flight"
GIVEN_AWAY = ("Poggio", "Halde", "Gelso", "Chianti", "Barolo", "Riesling", "13.5", "2016")


def write_down(page: Page, name: str, style: str, abv: str) -> None:
    page.get_by_label("Name", exact=True).fill(name)
    tap(page.get_by_role("button", name="Style"))
    page.get_by_role("dialog").get_by_role("searchbox").fill(style)
    tap(page.get_by_role("dialog").get_by_role("listitem").get_by_role("button").first)
    page.get_by_label("Alcohol", exact=True).fill(abv)
    page.get_by_label("Vintage", exact=True).fill("2016")


def glasses_to_pour(page: Page) -> Locator:
    return items(page, "Glasses to pour")


def cover(page: Page) -> Thumb:
    """Create a flight of three wines in four hidden glasses, and open its list."""
    thumb = open_pour(page)
    page.goto("/#/pour/flight")
    for number, (name, style, abv) in enumerate(WINES):
        write_down(page, name, style, abv)
        if number < len(WINES) - 1:
            thumb.press(page.get_by_role("button", name="Add another wine"))
    thumb.press(page.get_by_role("button", name="Shuffle and cover"))
    expect(glasses_to_pour(page)).to_have_count(4)
    return thumb


def hand_over(thumb: Thumb) -> None:
    # Beside the first tap, or else it is a double tap on the button that stood here.
    tap(thumb.page.get_by_role("button", name="Hide the list"), position={"x": 20, "y": 20})
    expect(visit_wines(thumb.page)).to_have_count(4)


def gives_away(page: Page) -> list[str]:
    text = page.locator("#app").inner_text()
    return [word for word in GIVEN_AWAY if word in text]


def test_flight_pours_each_wine_and_repeats_one(page):
    cover(page)
    poured = [text.split(maxsplit=1)[1] for text in glasses_to_pour(page).all_inner_texts()]
    assert {name.removesuffix(" 2016") for name in poured} == {name for name, _, _ in WINES}
    assert len(poured) == 4


@pytest.mark.extended
def test_double_tap_covers_one_flight_and_shows_its_list(page):
    open_pour(page)
    page.goto("/#/pour/flight")
    write_down(page, *WINES[0])
    tap(page.get_by_role("button", name="Add another wine"))
    write_down(page, *WINES[1])
    tap(page.get_by_role("radio", name="yes, at random"))
    page.get_by_role("button", name="Shuffle and cover").evaluate(
        "(it) => { it.click(); it.click(); }"
    )
    expect(glasses_to_pour(page)).to_have_count(3)
    # The second tap of a double tap meets the button that now stands there.
    page.get_by_role("button", name="Hide the list").dispatch_event("click", {"detail": 2})
    wait_for_idle(page)
    expect(glasses_to_pour(page)).to_have_count(3)
    assert [len(records(page, kind)) for kind in ("visit", "tasting")] == [1, 3]


def test_random_order_reaches_every_order_and_repeat(page):
    open_pour(page)
    drawn = page.evaluate("""async () => {
      const { shuffleGlasses } = await import('/domain/blind/shuffle.js');
      return Array.from({ length: 400 }, () => shuffleGlasses(2, true).join(''));
    }""")
    assert set(drawn) == {"001", "010", "100", "110", "101", "011"}


@pytest.mark.extended
def test_flight_draft_and_pouring_list_survive_a_reload(page):
    open_pour(page)
    page.goto("/#/pour/flight")
    write_down(page, *WINES[0])
    tap(page.get_by_role("button", name="Add another wine"))
    expect(items(page, DRAFT)).to_have_count(1)
    kept_here(page)
    page.reload()
    expect(items(page, DRAFT)).to_contain_text("Poggio Nero 2016")


@pytest.mark.extended
def test_flight_wine_form_survives_a_reload(page):
    open_pour(page)
    page.goto("/#/pour/flight")
    write_down(page, *WINES[0])
    kept_here(page)
    page.reload()
    expect(page.get_by_label("Name", exact=True)).to_have_value("Poggio Nero")
    expect(page.get_by_label("Alcohol", exact=True)).to_have_value("13.5")
    expect(page.get_by_label("Vintage", exact=True)).to_have_value("2016")
    expect(page.get_by_role("button", name="Style")).to_contain_text("Chianti")
    tap(page.get_by_role("button", name="Add another wine"))
    expect(items(page, DRAFT)).to_contain_text("Poggio Nero 2016")
    expect(page.get_by_label("Name", exact=True)).to_have_value("")


def test_flight_glass_is_revealed_after_its_guesses_lock(page):
    thumb = cover(page)
    hand_over(thumb)
    thumb.press(page.get_by_role("button", name="Next glass"))
    thumb.step("Bottle")
    expect(page.get_by_role("button", name="Uncover it now")).to_have_count(0)
    thumb.step("Verdict")
    uncover = page.get_by_role("button", name="Uncover the label")
    expect(uncover).to_be_disabled()
    page.get_by_label("Guess: alcohol").fill("13")
    expect(uncover).to_be_disabled()
    thumb.press(page.get_by_role("button", name="Lock my guesses"))
    thumb.press(uncover)
    expect(page.get_by_role("table")).to_contain_text("13%")
    written(page)
    glass = next(row for row in records(page, "tasting") if row["id"] == address_id(page))
    assert glass["guesses_locked_at"] <= glass["uncovered_at"]


def test_guesses_are_locked_once_the_label_was_seen(page):
    thumb = open_pour(page)
    thumb.type_into("bottle.name", "Poggio Nero")
    thumb.step("Bottle")
    thumb.press(page.get_by_role("button", name="Cover the label"))
    thumb.step("Verdict")
    thumb.press(page.get_by_role("button", name="Uncover the label"))
    expect(part(page, "Guesses")).to_contain_text("No guess was locked before")
    expect(page.get_by_label("Guess: alcohol")).to_have_count(0)


def test_pouring_list_survives_a_reload_until_hidden(page):
    thumb = cover(page)
    kept_here(page)
    page.reload()
    expect(glasses_to_pour(page)).to_have_count(4)
    hand_over(thumb)
    page.goto("/#/pour/flight")
    expect(page.get_by_label("Name", exact=True)).to_be_visible()
    expect(glasses_to_pour(page)).to_have_count(0)
    expect(items(page, DRAFT)).to_have_count(0)


def test_blind_flight_is_hidden_where_bottles_are_listed(page):
    thumb = cover(page)
    hand_over(thumb)
    visit = page.url.split("#")[1]
    bottle = records(page, "bottle")[0]["id"]
    put(page, "pick", {"bottle": bottle, "state": "open", "shop": "Corner"})
    places = [visit, "/pour", "/pour/evening", "/pour/guesses", "/book", "/shelf",
              f"/book/bottle/{bottle}", f"/book/{records(page, 'tasting')[0]['id']}"]  # fmt: skip
    for place in places:
        page.goto(f"/#{place}")
        expect(page.get_by_role("main").get_by_role("heading", level=1)).to_be_visible()
        wait_for_idle(page)
        assert (place, gives_away(page)) == (place, [])


def test_blind_bottle_is_hidden_from_search_and_filters(page):
    thumb = cover(page)
    hand_over(thumb)
    page.goto("/#/book")
    expect(lines(page)).to_have_count(4)
    search(page, "barolo")
    expect(page.get_by_text("No matching notes", exact=False).first).to_be_visible()
    expect(lines(page)).to_have_count(0)


@pytest.mark.extended
def test_blind_style_is_not_listed_first_for_a_guess(page):
    thumb = cover(page)
    hand_over(thumb)
    thumb.primary()
    thumb.step("Verdict")
    thumb.press(page.get_by_role("button", name="Guess: style"))
    styles = page.get_by_role("dialog").get_by_role("list")
    expect(styles.get_by_role("heading").first).to_have_text("Red")
    rows = styles.get_by_role("button").all_inner_texts()[:3]
    offered = [row.split("\n")[0] for row in rows]
    assert offered == page.evaluate("""async () => (await import('/domain/bottle/style_list.js'))
      .styleList(false).slice(0, 3).map((item) => item.label)""")


def taste_through(thumb: Thumb) -> None:
    """Rate every glass and enter a guess; save each with one tap."""
    page = thumb.page
    thumb.primary()
    for mark in "ABCD":
        expect(covered_name(page)).to_have_text(f"Covered bottle, {mark}")
        thumb.judge("liking", 0.2 + 0.2 * "ABCD".index(mark))
        thumb.step("Verdict")
        thumb.type_into("tasting.guess_abv", "13")
        thumb.primary()
    expect(visit_wines(page)).to_have_count(4)


def test_flight_glasses_are_revealed_together(page):
    thumb = cover(page)
    hand_over(thumb)
    taste_through(thumb)
    assert gives_away(page) == []
    thumb.press(page.get_by_role("button", name="Uncover all 4 glasses"))
    repeated = page.get_by_role("group").filter(has=page.get_by_role("heading", name="glasses"))
    expect(repeated).to_have_count(1)
    expect(repeated.get_by_role("listitem")).to_have_count(1)
    tastings = records(page, "tasting")
    assert all(row["guesses_locked_at"] <= row["uncovered_at"] for row in tastings)
    assert not any(row.get("covered") for row in records(page, "bottle"))
    page.goto("/#/pour/guesses")
    expect(page.get_by_role("main")).to_contain_text("4 guesses: ")
    expect(page.get_by_role("main")).to_contain_text("One wine was in a flight twice")


def test_bottle_is_blind_while_one_of_its_glasses_is(page):
    thumb = cover(page)
    hand_over(thumb)
    bottles = [row["bottle"] for row in records(page, "tasting")]
    twice = next(bottle for bottle in bottles if bottles.count(bottle) == 2)
    first = next(row for row in records(page, "tasting") if row["bottle"] == twice)
    page.goto(f"/#/pour/{first['id']}/verdict")
    thumb.press(page.get_by_role("button", name="Lock without a guess"))
    thumb.press(page.get_by_role("button", name="Uncover the label"))
    thumb.step("Bottle")
    expect(name_line(page)).to_be_visible()
    written(page)
    covered = {row["id"]: row.get("covered") for row in records(page, "bottle")}
    assert covered[twice] is True


def seed_guesses(page: Page, pairs: list[tuple[float, float]], **fields: object) -> None:
    for number, (guess, truth) in enumerate(pairs):
        bottle = put(page, "bottle", {"name": f"Seen {number}", "label_abv": truth})
        put(page, "tasting", {
            "bottle": bottle, "label_hidden": True, "guess_abv": guess,
            "tasted_at": f"2024-02-{number + 1:02}T20:00:00+01:00",
            "guesses_locked_at": "2024-03-01T20:00:00+01:00",
            "uncovered_at": "2024-03-01T20:01:00+01:00", **fields,
        })  # fmt: skip


@pytest.mark.extended
def test_guess_score_compares_with_guessing_the_mean(page):
    open_pour(page)
    seed_guesses(page, [(11.5, 11), (12.5, 12), (13.4, 13), (14.5, 14), (15.4, 15), (12, 11.5)])
    page.goto("/#/pour/guesses")
    alcohol = part(page, "Alcohol")
    expect(alcohol).to_contain_text("6 guesses: 0.5% alcohol too high on average.")
    expect(alcohol).to_contain_text("Better than always guessing the average of these bottles")
    expect(alcohol.get_by_role("img").locator("circle")).to_have_count(6)


@pytest.mark.extended
def test_guess_locked_after_the_reveal_is_not_counted(page):
    open_pour(page)
    seed_guesses(page, [(12, 14)], guesses_locked_at="2024-03-01T20:05:00+01:00")
    page.goto("/#/pour/guesses")
    expect(page.get_by_role("main")).to_contain_text("No guesses yet.")
