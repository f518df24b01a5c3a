"""The list of the Book screen: months, search, filters, and the empty state."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.book_page import chip, filled_book_apart, lines, open_book, search
from tests.browser.engines import SMALL_SCREEN, tap
from tests.browser.live_server import LiveServer
from tests.browser.seed_server import Record, demo_records, first_tastings
from tests.browser.shelf_page import SMALL, TOO_WIDE

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def server_records() -> list[Record]:
    return first_tastings(30)


@pytest.fixture
def book(server: LiveServer, browser: Browser) -> Iterator[Page]:
    context = browser.new_context(
        base_url=server.url,
        **SMALL_SCREEN,
        service_workers="block",
    )
    page = context.new_page()
    filled_book_apart(page)
    yield page
    context.close()


@pytest.fixture(scope="module")
def thirty() -> list[dict]:
    """Return these tastings with the fields of their bottles, latest first."""
    bottles = {record["id"]: record["fields"] for record in demo_records("bottle")}
    tastings = [record for record in first_tastings(30) if record["kind"] == "tasting"]
    tastings.sort(key=lambda record: record["fields"]["tasted_at"], reverse=True)
    return [
        {**fields, "about": bottles[fields["bottle"]]}
        for fields in (record["fields"] for record in tastings)
    ]


def test_tastings_are_grouped_by_month_latest_first(book, thirty):
    expect(lines(book).first).to_contain_text(thirty[0]["about"]["name"])
    months = book.get_by_role("list", name="Notes").get_by_role("heading").all_inner_texts()
    assert len(months) == len(set(months))
    assert re.match(r"\w+ 20\d\d", months[0])


def test_liking_has_a_number_and_a_label(book, thirty):
    liking = next(tasting["liking"] for tasting in thirty if tasting.get("liking"))
    rated = lines(book).filter(has_not_text="not rated").first
    words = {
        9: "like extremely",
        8: "like very much",
        7: "like moderately",
        6: "like slightly",
        5: "neither like nor dislike",
        4: "dislike slightly",
        3: "dislike moderately",
        2: "dislike very much",
        1: "dislike extremely",
    }
    expect(rated).to_contain_text(f"{liking}{words[liking]}")


def test_search_finds_a_bottle_by_a_prefix_without_accents(book, thirty):
    name = thirty[-1]["about"]["name"]
    search(book, name.lower())
    expect(lines(book).first).to_contain_text(name)
    expect(book.get_by_text(re.compile(r"\d+ found"))).to_be_visible()


def test_search_finds_note_text_and_aromas(book, thirty):
    noted = next(tasting for tasting in thirty if tasting.get("words"))
    longest = max(re.findall(r"\w+", noted["words"]), key=len)
    search(book, longest)
    expect(lines(book).filter(has_text=noted["about"]["name"])).not_to_have_count(0)
    smelt = next(
        tasting
        for tasting in thirty
        if any(not word.startswith("~") for word in tasting.get("first_nose_words") or [])
    )
    aroma = next(word for word in smelt["first_nose_words"] if not word.startswith("~"))
    search(book, aroma.split(":")[0].replace("_", " "))
    expect(lines(book).filter(has_text=smelt["about"]["name"])).not_to_have_count(0)


def test_search_without_results_can_be_cleared(book, thirty):
    search(book, "zzyzx")
    expect(book.get_by_text("No matching notes")).to_be_visible()
    tap(book.get_by_role("button", name="Show all").last)
    expect(lines(book).first).to_contain_text(thirty[0]["about"]["name"])


def test_filter_chips_limit_the_list_and_show_the_count(book, thirty):
    liked = sum((tasting.get("liking") or 0) >= 7 for tasting in thirty)
    tap(chip(book, "Liked"))
    expect(chip(book, "Liked")).to_have_attribute("aria-pressed", "true")
    expect(book.get_by_text(f"{liked} found")).to_be_visible()
    red = sum(
        (tasting.get("liking") or 0) >= 7 and tasting["about"].get("colour") == "red"
        for tasting in thirty
    )
    tap(chip(book, "Red"))
    expect(book.get_by_text(f"{red} found")).to_be_visible()


def test_all_filters_are_in_one_dialog(book, thirty):
    tap(chip(book, "Filter"))
    sheet = book.get_by_role("dialog", name="Filter")
    year = thirty[0]["tasted_at"][:4]
    tap(sheet.get_by_role("button", name=re.compile("^Year")))
    tap(book.get_by_role("dialog", name="Year").get_by_role("button", name=year))
    here = sum(tasting["tasted_at"].startswith(year) for tasting in thirty)
    tap(sheet.get_by_role("button", name=f"Show {here}", exact=True))
    expect(book.get_by_text(f"{here} found")).to_be_visible()


def test_back_restores_the_scroll_position(book):
    book.evaluate("() => scrollTo(0, 900)")
    book.wait_for_function("() => scrollY > 800")
    tap(lines(book).nth(9))
    expect(book.get_by_role("link", name="Back", exact=True)).to_be_visible()
    tap(book.get_by_role("link", name="Back", exact=True))
    expect(lines(book).first).to_be_visible()
    book.wait_for_function("() => scrollY > 800")


@pytest.mark.extended
def test_touch_targets_fit_and_nothing_overflows(book):
    assert book.evaluate(SMALL) == []
    assert book.evaluate(TOO_WIDE) == 0


def test_example_notebook_is_replaced_and_restored_by_undo(book):
    expect(book.get_by_text("These are sample notes")).to_be_visible()
    tap(book.get_by_role("button", name="Start my own"))
    expect(book.get_by_text("No notes yet.")).to_be_visible()
    tap(book.get_by_role("button", name="Undo"))
    expect(lines(book).first).to_be_visible()
    expect(book.get_by_text("These are sample notes")).to_be_visible()


def test_empty_notebook_shows_how_to_start(phone):
    page = phone().new_page()
    open_book(page)
    expect(page.get_by_text("No notes yet.")).to_be_visible()
    expect(page.get_by_role("link", name="Taste your first wine")).to_be_visible()
