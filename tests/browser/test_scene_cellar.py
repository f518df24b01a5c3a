"""Scenario: pours in a cellar without network, a killed phone, and sync two days later."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.browser.any_page import sync_state
from tests.browser.engines import PHONE, always_both_engines, first_page, tap
from tests.browser.pour_page import (
    Thumb,
    kill_browser,
    name_line,
    open_pour,
    quick_note,
    records,
    visit_row,
    wait_for_offline_copy,
    written,
)

pytestmark = [pytest.mark.browser, always_both_engines, pytest.mark.service_worker]

POURS = [
    ("Cantina dei Rovi Soave", "soave", "12", 0.62),
    ("Cantina dei Rovi Riserva", "soave", "13", 0.74),
    ("Monte Falco Valpolicella", "valpolicella", "12.5", 0.5),
    ("Monte Falco Ripasso", "ripasso", "14", 0.86),
    ("Monte Falco Amarone", "amarone", "15.5", 0.38),
    ("Corte Tasso Recioto", "recioto", "12", 0.98),
]
# The first pours differ from the later ones only in their values, and Firefox takes longer.
IN_FIREFOX = POURS[3:]
Pour = tuple[str, str, str, float]


def start_visit(thumb: Thumb) -> None:
    thumb.press(visit_row(thumb.page))
    thumb.page.get_by_label("Where", exact=True).fill("Cellar under the hill")
    thumb.page.get_by_label("Name of the tasting").fill("Under the hill")
    tap(thumb.page.get_by_role("button", name="Start a tasting"))
    expect(visit_row(thumb.page)).to_contain_text("wine 1")


def save_pour(thumb: Thumb, pour: Pour) -> None:
    """Save one pour with at most eight taps; open the next one with one of them."""
    name, style, abv, liking = pour
    before = thumb.taps
    quick_note(thumb, name, style, abv, liking, f"{name}, cool and dim.")
    thumb.primary()
    expect(name_line(thumb.page)).to_have_value("")
    assert thumb.taps - before <= 8


def pours_in(page: Page) -> list[tuple[str, float]]:
    bottles = {bottle["id"]: bottle for bottle in records(page, "bottle")}
    return [
        (bottles[tasting["bottle"]]["name"], bottles[tasting["bottle"]]["label_abv"])
        for tasting in records(page, "tasting")
    ]


def test_offline_pours_survive_a_kill_and_sync(phone, engine, browser, live_server, tmp_path):
    pours = IN_FIREFOX if engine.name == "firefox" else POURS
    *before_the_kill, killed, last = pours
    profile = tmp_path / "phone in the cellar"
    page = first_page(phone(profile))
    open_pour(page)
    wait_for_offline_copy(page)
    live_server.kill()

    thumb = open_pour(page)
    start_visit(thumb)
    for pour in before_the_kill:
        save_pour(thumb, pour)
    quick_note(thumb, killed[0])
    thumb.control("bottle.label_abv").locator("input").fill("15.5")
    written(page)
    kill_browser(profile)

    page = first_page(phone(profile))
    thumb = open_pour(page)
    expect(name_line(page)).to_have_value(killed[0])
    expect(thumb.control("bottle.label_abv").locator("input")).to_have_value("15.5")
    expect(visit_row(page)).to_contain_text(f"wine {len(pours) - 1}")
    thumb.judge("liking", killed[3])
    thumb.primary()
    expect(name_line(page)).to_have_value("")
    save_pour(thumb, last)
    assert pours_in(page) == [(name, float(abv)) for name, _, abv, _ in pours]
    tastings = records(page, "tasting")
    assert {tasting["visit"] for tasting in tastings} == {records(page, "visit")[0]["id"]}
    assert {tasting["place"] for tasting in tastings} == {"Cellar under the hill"}

    live_server.start()
    page.evaluate("async () => (await import('/sync/index.js')).syncNow()")
    expect(sync_state(page, "all saved")).to_be_visible()
    # The other phone has Chromium in both runs, which starts faster.
    options = {**PHONE, "service_workers": "block"}
    with browser.new_context(base_url=live_server.url, **options) as other:
        at_home = other.new_page()
        open_pour(at_home)
        expect(sync_state(at_home, "all saved")).to_be_visible()
        assert sorted(pours_in(at_home)) == sorted(pours_in(page))
