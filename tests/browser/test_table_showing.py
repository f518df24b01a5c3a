"""What guests have been shown when the leader goes on, opens the results, or ends the tasting."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.any_page import primary_action
from tests.browser.engines import tap
from tests.browser.led_table import LeaderBySync
from tests.browser.table_page import MOMENT, SAVE, TABLE, Leader, id_of, open_tasted, sheet
from tests.browser.waiting import wait_until

pytestmark = pytest.mark.browser


def dialog(page: Page) -> Locator:
    return page.get_by_role("dialog")


def open_last_step(page: Page, glass: int = 1) -> None:
    page.goto("/#/table")
    step = {"open_glass": id_of("glass", glass), "open_step": "verdict"}
    open_tasted(page, discussed=False, **step)


def uncovered(leader: Leader) -> list[str]:
    return [row["mark"] for row in leader.rows("glass") if row.get("uncovered_at")]


def test_next_glass_offers_to_show_the_answers_first(leader, page):
    open_last_step(page)
    leader.press("Next: glass C")
    expect(dialog(page)).to_contain_text("Show the answers of glass B first?")
    tap(dialog(page).get_by_role("button", name="Show the answers"))
    expect(page.get_by_role("heading", level=1)).to_have_text("Glass B")
    shown = [row["mark"] for row in leader.rows("glass") if row.get("discussed_at")]
    assert shown == ["B"]
    expect(primary_action(page)).to_have_text("Next: glass C")


@pytest.mark.extended
def test_next_glass_opens_without_showing_answers(leader, page):
    open_last_step(page)
    leader.press("Next: glass C")
    leader.press("Go on without showing")
    expect(page.get_by_role("img", name="Glass C").first).to_be_visible()
    expect(dialog(page)).to_have_count(0)
    assert not any(row.get("discussed_at") for row in leader.rows("glass"))


@pytest.mark.extended
def test_last_glass_offers_to_show_its_answers(leader, page):
    open_last_step(page, 3)
    expect(primary_action(page)).to_have_text("Talk about D")
    leader.press("Close the last step")
    expect(dialog(page)).to_contain_text("Show the answers of glass D first?")
    leader.press("Go on without showing")
    expect(page.get_by_text("Talk about them one by one")).to_be_visible()


def test_end_names_what_guests_have_not_seen(leader, page):
    page.goto("/#/table")
    open_tasted(page, discussed=False)
    leader.press("End tasting")
    expect(dialog(page)).to_contain_text("answers for glasses A, B, C and D haven’t been shown")
    expect(dialog(page)).to_contain_text("labels of glasses A, B, C and D are still covered")
    leader.press("Close")
    assert "ended_at" not in leader.rows("group_tasting")[0]
    leader.press("End tasting")
    leader.press("Show it all and end")
    expect(page.get_by_role("heading", level=1)).to_have_text("Results")
    assert uncovered(leader) == ["A", "B", "C", "D"]
    assert all(row.get("discussed_at") for row in leader.rows("glass"))
    leader.press("Undo")
    expect(page.get_by_role("button", name="End tasting")).to_be_visible()
    assert uncovered(leader) == []


@pytest.mark.extended
def test_end_asks_nothing_once_all_is_shown(leader, page):
    page.goto("/#/table")
    open_tasted(page, labels_hidden=False)
    leader.press("End tasting")
    expect(page.get_by_role("heading", level=1)).to_have_text("Results")


def test_results_are_announced_before_guests_see_them(leader, page):
    page.goto("/#/table")
    open_tasted(page)
    edit = {"kind": "glass", "id": id_of("glass", 3), "fields": {"discussed_at": None}}
    seen = {"kind": "glass", "id": id_of("glass", 0), "fields": {"uncovered_at": MOMENT}}
    page.evaluate(SAVE, [edit, seen])
    leader.press(re.compile("^Show the results to your guests"))
    expect(dialog(page)).to_contain_text("your guests will see glasses A, B and C")
    expect(dialog(page)).to_contain_text("Glass D is left out")
    expect(dialog(page)).to_contain_text("labels of glasses B and C are still covered")
    leader.press("Close")
    assert "results_at" not in leader.rows("group_tasting")[0]
    leader.press(re.compile("^Show the results to your guests"))
    tap(dialog(page).get_by_role("button", name="Show the results"))
    expect(page.get_by_text("Your guests see the results now", exact=True)).to_be_visible()
    assert uncovered(leader) == ["A"]
    leader.press("Hide them again")
    expect(page.get_by_role("button", name=re.compile("^Show the results to"))).to_be_visible()


def test_results_are_shown_with_all_labels_uncovered(leader, page):
    page.goto("/#/table")
    open_tasted(page)
    leader.press(re.compile("^Show the results to your guests"))
    leader.press("Uncover labels and show results")
    expect(page.get_by_text("Your guests see the results now", exact=True)).to_be_visible()
    assert uncovered(leader) == ["A", "B", "C", "D"]
    leader.press("Undo")
    expect(page.get_by_role("button", name=re.compile("^Show the results to"))).to_be_visible()
    assert uncovered(leader) == []


def test_aromas_found_are_above_the_buttons(leader, page):
    leader.set_new("Reds", "First")
    leader.press("nose, sips, rating", "radio")
    leader.start()
    leader.press("My own notes")
    search = page.get_by_role("region", name="First nose").get_by_role("searchbox")
    search.press_sequentially("cherry")
    found = page.get_by_role("group", name="Aromas found").get_by_role("button").first
    expect(found).to_be_visible()
    below = "(one) => one.getBoundingClientRect().bottom"
    top = "(one) => one.getBoundingClientRect().top"
    bar = primary_action(page).evaluate(top)
    wait_until(page, lambda: found.evaluate(below) <= bar, "the aromas above the buttons")


def test_results_page_shows_them_to_the_guests(served):
    page = served.new_page()
    leader = Leader(page)
    page.goto("/#/table")
    page.evaluate("async () => (await import('/sync/index.js')).syncNow()")
    open_tasted(page, "/results", labels_hidden=False)
    offer = page.get_by_role("button", name=re.compile("^Show the results to your guests"))
    expect(offer).to_be_in_viewport()
    tap(offer)
    with page.expect_request("**/api/sync") as sent:
        tap(dialog(page).get_by_role("button", name="Show the results"))
    expect(page.get_by_text("Your guests see the results now", exact=True)).to_be_visible()
    assert sent.value.method == "POST"
    leader.press("Hide them again")
    expect(offer).to_be_visible()


def test_answers_just_sent_are_not_missed(served, live_server):
    page = served.new_page()
    leader, guests = Leader(page), LeaderBySync(live_server.url)
    page.goto("/#/table")
    step = {"open_glass": id_of("glass", 1), "open_step": "verdict"}
    open_tasted(page, discussed=False, labels_hidden=False, noted=False, **step)
    page.evaluate("async () => (await import('/sync/index.js')).syncNow()")
    guests.save(sheet(0, 1))
    leader.press("Next: glass C")
    expect(dialog(page)).to_contain_text("Show the answers of glass B first?")
    leader.press("Go on without showing")
    expect(page.get_by_role("img", name="Glass C").first).to_be_visible()
    guests.save(sheet(0, 2))
    leader.press("End tasting")
    expect(dialog(page)).to_contain_text("answers for glasses B and C haven’t been shown")
    guests.save(sheet(0, 3))
    leader.press("Show it all and end")
    expect(page.get_by_role("heading", level=1)).to_have_text("Results")
    shown = [row["mark"] for row in leader.rows("glass") if row.get("discussed_at")]
    assert shown == ["B", "C", "D"]
    # After the end the page follows, too: 3 and 4 points.
    guests.save(sheet(1, 1))
    expect(page.get_by_role("main")).to_contain_text("3.5 out of 9")


def test_leader_is_told_that_answers_may_be_missing(served):
    page = served.new_page()
    page.clock.install()
    page.goto("/#/table")
    page.evaluate("async () => (await import('/sync/index.js')).syncNow()")
    # A request that times out would count as no connection, which has a notice of its own.
    page.evaluate(
        "async () => { (await import('/config.js')).timing.request_timeout_ms = 600_000; }"
    )
    page.route("**/api/sync", lambda route: None)
    open_tasted(page, discussed=False, open_glass=id_of("glass", 0), open_step="verdict")
    notice = page.get_by_role("status").filter(has_text="may be missing here")
    expect(notice).to_have_count(0)
    page.clock.run_for(36_000)
    expect(notice).to_be_visible()


def test_count_says_that_nobody_joined_and_of_the_leader(leader, page):
    leader.set_new("Reds", "First")
    leader.start()
    glass = leader.named("glass")["id"]
    page.goto(f"/#/table/{leader.rows('group_tasting')[0]['id']}/talk/{glass}")
    expect(page.get_by_role("main").get_by_role("status")).to_have_text("Nobody has joined yet")
    page.goto("/#/table")
    step = {"open_glass": id_of("glass", 0), "open_step": "verdict"}
    open_tasted(page, "/lead", discussed=False, **step)
    expect(leader.now()).to_contain_text("5 of 5 guests noted something")
    own = {"group_tasting": TABLE, "entry": "leader", "name": "Greta", "number": 6}
    page.evaluate(SAVE, [{"kind": "guest", "id": id_of("guest", 5), "fields": own}])
    expect(leader.now()).to_contain_text("5 of 5 guests noted something · you’ve noted nothing yet")


def test_guest_with_a_phone_is_removed_after_a_question(leader, page):
    page.goto("/#/table")
    open_tasted(page, "/invite")
    own = {"group_tasting": TABLE, "entry": "leader", "name": "Greta", "number": 6}
    page.evaluate(SAVE, [{"kind": "guest", "id": id_of("guest", 5), "fields": own}])
    expect(page.get_by_text("Greta", exact=True)).to_be_visible()
    expect(page.get_by_role("button", name="Remove Greta")).to_have_count(0)
    leader.press("Remove Ben")
    expect(dialog(page)).to_contain_text("they would have to join again")
    leader.press("Close")
    expect(page.get_by_text("Ben", exact=True)).to_be_visible()
    leader.press("Remove Ben")
    tap(dialog(page).get_by_role("button", name="Remove Ben"))
    expect(page.get_by_text("Ben", exact=True)).to_have_count(0)
    expect(dialog(page)).to_have_count(0)


def test_leader_sees_whose_phone_is_silent(served):
    page = served.new_page()
    leader = Leader(page)
    silent = {"guest": id_of("guest", 1), "silent_s": 200}
    heard = {"guest": id_of("guest", 0), "silent_s": 25}
    answer = {"phones": [heard, silent]}
    page.route("**/phones", lambda route: route.fulfill(json=answer))
    page.goto("/#/table")
    page.evaluate("async () => (await import('/sync/index.js')).syncNow()")
    open_tasted(page, discussed=False, open_glass=id_of("glass", 0), open_step="verdict")
    notice = page.get_by_role("status").filter(has_text="no contact")
    expect(notice).to_contain_text("Ben: no contact for 3 min")
    expect(notice).not_to_contain_text("Ada")
    leader.press("5 guests", "link")
    row = page.get_by_role("listitem").filter(has_text="Ben")
    expect(row).to_contain_text("no contact for 3 min")
