"""Serving temperature: ranges, chilling times, the alarm, and fridge calibration."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.any_page import toast
from tests.browser.engines import tap
from tests.browser.pour_page import (
    Thumb,
    open_pour,
    quick_note,
    records,
    wait_for_offline_copy,
    written,
)
from tests.browser.seed_records import kept_here, put

pytestmark = pytest.mark.browser

SETTINGS = "00000000-0000-7000-8000-000000000001"


def serving(page: Page, style: str = "") -> Thumb:
    thumb = open_pour(page)
    page.goto("/#/pour/serving")
    if style:
        thumb.press(page.get_by_role("button", name="Style"))
        page.get_by_role("dialog").get_by_role("searchbox").fill(style)
        thumb.press("dialog[open] ul button")
    return thumb


def way(page: Page, place: str) -> Locator:
    return page.get_by_role("listitem").filter(has=page.get_by_text(place, exact=True))


def ways(page: Page) -> Locator:
    return page.get_by_role("button", name=re.compile("^Start: "))


def measured(page: Page, celsius: str) -> None:
    tap(page.get_by_role("radio", name="measured"))
    page.get_by_label("Measured temperature of the wine").fill(celsius)


def test_serving_shows_the_band_and_the_fridge_time(page):
    """Cool from 21 to 17 C at 4 C: 150 ln(17/13) = 40 min (lumped model, common practice)."""
    serving(page, "barolo")
    expect(page.get_by_text("16°C to 18°C", exact=True)).to_be_visible()
    expect(way(page, "Fridge")).to_contain_text("40 min")
    expect(way(page, "On the table")).to_have_count(0)


@pytest.mark.extended
def test_serving_times_follow_the_chosen_band(page):
    """Cool from 21 C at 4 C to 9.5 C: 150 ln(17/5.5) = 169 min; to 15.4 C: 150 ln(17/11.4) = 60."""
    serving(page, "sancerre")
    expect(page.get_by_text("8°C to 11°C", exact=True)).to_be_visible()
    expect(page.get_by_text("judge still reds and whites at 14°C to 18°C")).to_be_visible()
    expect(page.get_by_role("radio", name="8°C to 11°C, to drink it")).to_be_checked()
    expect(way(page, "Fridge")).to_contain_text("2 h 50 min")
    tap(page.get_by_role("radio", name="14°C to 16°C, to judge it"))
    expect(way(page, "Fridge")).to_contain_text(re.compile(r"^Fridge\s?1\sh "))


@pytest.mark.extended
def test_serving_offers_no_choice_inside_the_trade_band(page):
    serving(page, "barolo")
    expect(page.get_by_text("is usual for Barolo", exact=True)).to_be_visible()
    expect(page.get_by_text("to judge it")).to_have_count(0)


def test_serving_style_is_restored_after_a_reload(page):
    serving(page, "barolo")
    kept_here(page)
    page.reload()
    expect(page.get_by_text("16°C to 18°C", exact=True)).to_be_visible()
    expect(page.get_by_role("button", name="Style")).to_contain_text("Barolo")


@pytest.mark.extended
def test_serving_style_follows_the_open_pour_after_a_reload(page):
    thumb = open_pour(page)
    quick_note(thumb, "Alte Halde", "barolo")
    written(page)
    page.goto("/#/pour/serving")
    expect(page.get_by_text("16°C to 18°C", exact=True)).to_be_visible()
    page.reload()
    expect(page.get_by_text("16°C to 18°C", exact=True)).to_be_visible()


@pytest.mark.extended
def test_serving_warms_a_cold_bottle_on_the_table_only(page):
    serving(page, "barolo")
    tap(page.get_by_role("radio", name="fridge, 4"))
    expect(page.get_by_role("heading", name="Warm it")).to_be_visible()
    expect(ways(page)).to_have_count(1)
    expect(way(page, "On the table")).to_be_visible()


@pytest.mark.extended
def test_serving_offers_nothing_within_the_band(page):
    serving(page, "barolo")
    measured(page, "17")
    expect(page.get_by_role("main")).to_contain_text("It’s at the right temperature now.")
    expect(ways(page)).to_have_count(0)


@pytest.mark.extended
def test_freezer_is_always_offered_with_a_warning(page):
    serving(page, "barolo")
    expect(way(page, "Freezer")).to_contain_text("may start to freeze after")
    expect(way(page, "Fridge")).not_to_contain_text("freeze")


def test_serving_countdown_continues_after_sleep_or_restart(page):
    page.clock.install()
    serving(page, "barolo")
    tap(way(page, "Fridge").get_by_role("button"))
    countdown = page.get_by_role("timer")
    expect(countdown).to_have_text(re.compile(r"^40:\d\d$"))
    page.clock.fast_forward("10:13")
    kept_here(page)
    page.reload()
    expect(countdown).to_have_text(re.compile(r"^(30:00|29:\d\d)$"))
    page.goto("/#/pour")
    expect(page.get_by_role("link", name="in the fridge")).to_be_visible()


@pytest.mark.service_worker
def test_serving_alarm_shows_a_toast_and_a_notification(page, context):
    context.grant_permissions(["notifications"])
    page.clock.install()
    serving(page, "barolo")
    wait_for_offline_copy(page)
    tap(way(page, "Fridge").get_by_role("button"))
    expect(page.get_by_role("timer")).to_be_visible()
    page.clock.fast_forward("41:00")
    expect(toast(page, "The bottle: ready to serve.")).to_be_visible()
    expect(page.get_by_role("main")).to_contain_text("Ready since")
    notices = "async () => (await (await navigator.serviceWorker.ready).getNotifications()).length"
    page.wait_for_function(f"({notices})().then((count) => count === 1)")


def test_freezer_timer_warns_before_the_bottle_freezes(page):
    page.clock.install()
    serving(page, "champagne")
    tap(way(page, "Freezer").get_by_role("button"))
    expect(page.get_by_role("region", name="The bottle, in the freezer")).to_contain_text(
        "Take it out of the freezer by"
    )
    page.clock.fast_forward("04:00:00")
    expect(page.get_by_role("region", name="The bottle, in the freezer")).to_contain_text(
        "Take it out of the freezer now."
    )


def test_second_bottle_leaves_the_first_timer_running(page):
    page.clock.install()
    serving(page, "champagne")
    tap(way(page, "Fridge").get_by_role("button"))
    tap(way(page, "Freezer").get_by_role("button"))
    standing = page.get_by_role("region", name="The bottle, in the f")
    expect(standing.get_by_role("timer")).to_have_count(2)
    # The freezer comes first, because its bottle must be taken out first.
    expect(standing.first).to_contain_text("Take it out of the freezer by")
    kept_here(page)
    page.reload()
    expect(standing).to_have_count(2)
    page.clock.fast_forward("09:00:00")
    expect(toast(page, "The bottle, in the freezer: ready to serve.")).to_be_visible()
    expect(toast(page, "The bottle, in the fridge: ready to serve.")).to_be_visible()
    tap(standing.first.get_by_role("button", name="Stop the timer"))
    expect(page.get_by_role("timer")).to_have_count(1)
    tap(page.get_by_role("button", name="Undo"))
    expect(page.get_by_role("timer")).to_have_count(2)


@pytest.mark.extended
def test_two_temperatures_calibrate_the_own_fridge(page):
    """Cool from 20 to 12 C at 4 C in 100 min: tau = 100 / ln 2 = 144.3 min."""
    serving(page, "barolo")
    tap(page.get_by_role("button", name="Measure your own fridge"))
    for label, text in (("First reading", "20"), ("Second reading", "12"), ("Time between", "100")):
        page.get_by_label(label).fill(text)
    tap(page.get_by_role("button", name="Save"))
    expect(way(page, "Fridge")).to_contain_text("from your own measurements")
    assert records(page, "settings")[0]["tau_fridge_min"] == 144.3
    tap(page.get_by_role("button", name="Remove"))
    expect(way(page, "Fridge")).not_to_contain_text("from your own measurements")


@pytest.mark.extended
def test_impossible_temperature_is_reported_and_ignored(page):
    serving(page)
    tap(page.get_by_role("button", name="Measure your own fridge"))
    for label, text in (("First reading", "20"), ("Second reading", "22"), ("Time between", "30")):
        page.get_by_label(label).fill(text)
    tap(page.get_by_role("button", name="Save"))
    expect(toast(page, "isn’t between")).to_be_visible()
    assert not any("tau_fridge_min" in row for row in records(page, "settings"))


@pytest.mark.extended
def test_temperature_of_the_chilling_bottle_calibrates(page):
    page.clock.install()
    serving(page, "barolo")
    tap(way(page, "Fridge").get_by_role("button"))
    page.clock.fast_forward("30:00")
    tap(page.get_by_role("button", name="Measure it for a better estimate"))
    page.get_by_label("Measured just now").fill("18")
    tap(page.get_by_role("button", name="Save"))
    expect(toast(page, "Fridge: saved.")).to_be_visible()
    # From 21 to 18 C at 4 C in 30 min: tau = 30 / ln(17/14) = 154.5 min.
    assert abs(records(page, "settings")[0]["tau_fridge_min"] - 154.5) < 1


@pytest.mark.service_worker
def test_serving_works_offline_in_the_chosen_unit(page, context):
    open_pour(page)
    wait_for_offline_copy(page)
    put(page, "settings", {"temperature_unit": "fahrenheit"}, SETTINGS)
    context.set_offline(True)
    page.goto("/#/pour/serving")
    page.reload()
    expect(page.get_by_text("50°F to 61°F", exact=True)).to_be_visible()


def test_blind_label_hides_its_serving_band(page):
    thumb = open_pour(page)
    thumb.type_into("bottle.name", "Alte Halde")
    thumb.choose_style("champagne")
    thumb.step("Bottle")
    expect(page.get_by_role("link", name="Serve at")).to_contain_text("7°C to 10°C")
    thumb.press(page.get_by_role("button", name="Cover the label"))
    expect(page.get_by_role("link", name="Serve at")).to_contain_text(
        "10°C to 16°C, depending on the style"
    )
