"""Faults, bitterness, feel of the tannin, and spat or swallowed: entered, shown and found again."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.any_page import part
from tests.browser.book_page import lines
from tests.browser.engines import tap
from tests.browser.pour_page import Thumb, open_pour, quick_note, records, visit_row, written
from tests.browser.seed_records import put

pytestmark = pytest.mark.browser


@pytest.fixture
def thumb(page: Page) -> Thumb:
    at = open_pour(page)
    quick_note(at, "Colle Rosso")
    written(page)
    return at


def open_faults(thumb: Thumb) -> None:
    thumb.step("Overall")
    thumb.press(thumb.page.get_by_role("button", name="Is something wrong with it?"))


def fault(page: Page, name: str) -> Locator:
    return page.get_by_role("listitem").filter(has_text=name).get_by_role("button")


def only_tasting(page: Page) -> dict[str, Any]:
    written(page)
    [tasting] = records(page, "tasting")
    return tasting


def test_fault_taps_add_strengthen_and_remove_it(page, thumb):
    open_faults(thumb)
    corked = fault(page, "corked")
    for expected in (["corked"], ["corked:1"], ["corked:2"], ["corked:3"], None):
        thumb.press(corked)
        assert only_tasting(page).get("faults") == expected


def test_fault_counts_only_if_the_taster_says_so(page, thumb):
    open_faults(thumb)
    counts = thumb.control("tasting.fault_counts")
    expect(counts).to_have_count(0)
    thumb.press(fault(page, "Brett"))
    thumb.choose("tasting.fault_counts", "yes")
    assert only_tasting(page)["fault_counts"] is True
    for _ in range(4):
        thumb.press(fault(page, "Brett"))
    tasting = only_tasting(page)
    assert "faults" not in tasting
    assert "fault_counts" not in tasting


@pytest.mark.extended
def test_noted_faults_are_open_on_return(page, thumb):
    open_faults(thumb)
    thumb.press(fault(page, "volatile acidity"))
    thumb.step("Verdict")
    thumb.step("Overall")
    noted = (
        thumb.control("tasting.faults").get_by_role("listitem").get_by_role("button", pressed=True)
    )
    expect(noted).to_contain_text("volatile acidity")


def test_tannin_feel_is_asked_once_tannin_is_felt(page, thumb):
    thumb.step("Sips")
    expect(thumb.control("tasting.tannin_texture")).to_have_count(0)
    thumb.judge("tannin", 0.6)
    thumb.choose("tasting.tannin_texture", "chalky")
    thumb.judge("bitterness", 0.3)
    tasting = only_tasting(page)
    assert tasting["tannin_texture"] == "chalky"
    assert tasting["bitterness"] == pytest.approx(3, abs=0.2)


def test_spat_or_swallowed_takes_one_tap(page, thumb):
    thumb.step("Bottle")
    tap(page.get_by_role("button", name="More about this glass"))
    thumb.type_into("tasting.pour_ml", "40")
    thumb.step("Overall")
    before = thumb.taps
    thumb.choose("tasting.spat", "swallowed")
    assert thumb.taps - before == 1
    tasting = only_tasting(page)
    assert (tasting["spat"], tasting["swallowed_ml"]) == (False, 40)
    thumb.choose("tasting.spat", "spat")
    tasting = only_tasting(page)
    assert (tasting["spat"], tasting["swallowed_ml"]) == (True, 0)
    thumb.step("Verdict")
    tap(page.get_by_role("button", name="People, food, how much"))
    thumb.type_into("tasting.swallowed_ml", "10")
    tasting = only_tasting(page)
    assert (tasting.get("spat"), tasting["swallowed_ml"], tasting["pour_ml"]) == (None, 10, 40)


@pytest.mark.extended
def test_quick_note_of_a_visit_asks_whether_it_was_spat(page, thumb):
    expect(thumb.control("tasting.spat")).to_have_count(0)
    thumb.press(visit_row(page))
    tap(page.get_by_role("button", name="Start a tasting"))
    thumb.choose("tasting.spat", "spat")
    assert only_tasting(page)["spat"] is True


def note(page: Page, name: str, **fields: Any) -> str:
    bottle = put(page, "bottle", {"name": name, "style": "red_barolo"})
    at = "2026-05-02T18:00:00+02:00"
    return put(page, "tasting", {"bottle": bottle, "tasted_at": at, "closed_at": at, **fields})


def test_tasting_page_shows_the_new_fields(page):
    open_pour(page)
    one = note(
        page,
        "Colle Rosso",
        faults=["corked:3", "other"],
        bitterness=4,
        tannin_texture="rough",
        spat=True,
        swallowed_ml=0,
    )
    page.goto(f"/#/book/{one}")
    for step, texts in (
        (
            "Overall",
            ("corked (strong), other fault", "Counts towards your palate", "no", "all spat"),
        ),
        ("Sips", ("Bitterness", "rough")),
    ):
        fold = page.get_by_role("group").filter(has=page.get_by_role("heading", name=step))
        tap(fold.get_by_role("heading", name=step, exact=True))
        for text in texts:
            expect(fold).to_contain_text(text)


def test_book_lists_and_finds_bottles_with_faults(page):
    open_pour(page)
    note(page, "Colle Rosso", faults=["corked"])
    note(page, "Monte Verde")
    page.goto("/#/book")
    expect(lines(page)).to_have_count(2)
    tap(page.get_by_role("button", name="Faulty"))
    expect(lines(page)).to_have_count(1)
    expect(lines(page)).to_contain_text("Colle Rosso")
    expect(lines(page)).to_contain_text("corked")
    tap(page.get_by_role("button", name="Faulty"))
    page.get_by_role("searchbox").fill("corked")
    expect(lines(page)).to_have_count(1)


def test_book_without_faults_has_no_chip_for_them(page):
    open_pour(page)
    note(page, "Monte Verde")
    page.goto("/#/book")
    expect(lines(page)).to_have_count(1)
    expect(page.get_by_role("button", name="Would buy")).to_be_visible()
    expect(page.get_by_role("button", name="Faulty")).to_have_count(0)


@pytest.mark.extended
def test_comparison_shows_bitterness_texture_and_faults(page):
    open_pour(page)
    one = note(page, "Colle Rosso", faults=["corked:1"], bitterness=3, tannin_texture="firm")
    two = note(page, "Monte Verde", bitterness=6, tannin_texture="silky")
    page.goto(f"/#/book/side/{one}/{two}")
    bitterness = page.get_by_role("group", name="Bitterness")
    expect(bitterness.get_by_text("A 3, B 6", exact=True)).to_be_attached()
    texture, faults = part(page, "Feel of the tannin"), part(page, "Fault")
    expect(texture.get_by_role("paragraph")).to_have_text(["Afirm", "Bsilky"])
    expect(faults.get_by_role("paragraph")).to_have_text(["Acorked (faint)"])
