"""A guest who leaves the table, or whom the leader removes."""

from __future__ import annotations

import pytest
from playwright.sync_api import Route, expect

from tests.browser.engines import tap
from tests.browser.guest_phones import PhoneOpener, guest_at, guest_phone, leader, liking_of
from tests.browser.led_table import Leader, join, rate
from tests.browser.waiting import wait_for_idle, wait_until

__all__ = ["guest_phone", "leader"]
pytestmark = pytest.mark.browser


def test_guest_who_leaves_and_forgets_is_deleted(leader: Leader, guest_phone: PhoneOpener) -> None:
    page = guest_at(leader, guest_phone, "verdict")
    rate(page, "How much do you like it?", 3)
    wait_until(page, lambda: liking_of(leader) == [8], "the liking in the leader's book")
    tap(page.get_by_role("button", name="Glass B"))
    tap(page.get_by_role("button", name="Leave the table"))
    tap(page.get_by_role("button", name="Delete my answers"))
    expect(page.get_by_role("heading", name="Join a tasting")).to_be_visible()
    wait_until(page, lambda: liking_of(leader) == [], "the deletion in the leader's book")
    assert [guest for guest in leader.rows("guest") if guest.get("name")] == []
    seats = "async () => (await import('/domain/guest/guest_store.js')).readSeats()"
    assert page.evaluate(seats) == []


def test_removed_guest_keeps_the_own_notes(leader: Leader, guest_phone: PhoneOpener) -> None:
    page = guest_at(leader, guest_phone, "verdict")
    rate(page, "How much do you like it?", 3)
    expect(page.get_by_text("all sent")).to_be_visible()
    leader.send_away(leader.rows("guest")[0]["id"])
    expect(page.get_by_text("Greta removed you from this table")).to_be_visible()
    expect(page.get_by_role("button", name="Save as text")).to_be_visible()
    tap(page.get_by_role("button", name="Leave the table"))
    expect(page.get_by_role("button", name="Leave", exact=True)).to_be_visible()
    expect(page.get_by_role("button", name="Delete my answers")).to_have_count(0)
    page.keyboard.press("Escape")
    # Nothing can be noted any more.
    tap(page.get_by_role("button", name="Glass A"))
    expect(page.get_by_text("Greta removed you from this table")).to_be_visible()
    tap(page.get_by_role("button", name="Verdict"))
    expect(page.get_by_text("This step is closed")).to_be_visible()
    liking = page.get_by_role("slider", name="How much do you like it?")
    expect(liking).to_be_disabled()
    join(page, leader.invitation["path"], "Ada")
    expect(liking).to_have_attribute("aria-valuenow", "8")
    wait_until(page, lambda: liking_of(leader) == [8, 8], "the liking of the new guest")


def test_late_answer_takes_nobody_off_the_page(leader: Leader, guest_phone: PhoneOpener) -> None:
    leader.set_table()
    page = guest_phone()
    page.goto(leader.invitation["path"])
    page.get_by_label("Your first name").fill("Ada")
    held: list[Route] = []
    page.route("**/api/guests/join", lambda route: held.append(route))
    tap(page.get_by_role("button", name="Join the table"))
    wait_until(page, lambda: held, "the request to join")
    page.goto("/#/pour")
    held[0].continue_()
    seated = "async () => (await import('/domain/guest/guest_store.js')).readSeats()"
    wait_until(page, lambda: page.evaluate(seated)[0]["state"] == "in", "the seat")
    wait_for_idle(page)
    expect(page.get_by_role("heading", level=1)).to_have_text("Pour")
