"""Tastings at the table, on the leader's phone: set, lead, pass round, invite, end."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from tests.browser.any_page import primary_action, thumb_actions, toast
from tests.browser.conftest import PHONE
from tests.browser.engines import tap
from tests.browser.led_table import join
from tests.browser.pour_page import written
from tests.browser.table_page import SAVE, TABLE, Leader, id_of, open_tasted, sheet
from tests.browser.waiting import wait_until
from webapp.group_tasting.ids import sheet_id

pytestmark = pytest.mark.browser


@pytest.mark.extended
def test_own_order_is_led_by_place(leader, page):
    leader.set_new("Whites", "First", "Second")
    leader.press("rating only", "radio")
    leader.press("different for each guest", "radio")
    expect(page.get_by_text("You say “second glass”")).to_be_visible()
    leader.start()
    expect(leader.now()).to_contain_text("Glass number 1")
    leader.press("Next: glass number 2")
    expect(leader.now()).to_contain_text("Glass number 2")
    # The first guest's second glass is B, the second guest's is A.
    leader.press("Pass one phone round", "link")
    for name, mark in (("Pia", "B"), ("Quim", "A")):
        page.get_by_label("First name").fill(name)
        leader.press("Start")
        expect(page.get_by_role("img", name=f"Glass {mark}")).to_be_visible()
        leader.press("Done: pass it on")


def test_step_closes_when_the_leader_goes_on(leader, page):
    leader.set_new("Friday reds", "Torre Quarzo")
    leader.start()
    leader.sees_step("Look")
    leader.go_on("First nose")
    [glass] = leader.rows("glass")
    assert "closed_look_at" in glass
    assert "closed_first_nose_at" not in glass
    leader.press("Previous step")
    leader.sees_step("Look")
    assert "closed_look_at" not in leader.rows("glass")[0]


@pytest.mark.extended
def test_leader_writes_the_guidance_anew(leader, page):
    leader.set_new("Friday reds", "Torre Quarzo")
    leader.start()
    leader.press("Edit this sentence")
    page.get_by_label("What guests read").fill("Hold it against the candle.")
    leader.press("Done")
    expect(leader.now().get_by_text("Hold it against the candle.", exact=True)).to_be_visible()
    assert leader.rows("group_tasting")[0]["guidance_look"] == "Hold it against the candle."


def test_leader_notes_an_own_glass(leader, page):
    leader.set_new("Friday reds", "Torre Quarzo")
    leader.start()
    leader.press("My own notes")
    tap(page.get_by_role("radio", name="deep"))
    written(page)
    # The leader is no guest.
    expect(page.get_by_role("link", name="waiting for guests")).to_be_visible()
    expect(leader.now()).to_contain_text("Waiting for guests")
    [sheet] = leader.rows("sheet")
    assert sheet["look_depth"] == "deep"
    assert sheet["guest"] == leader.rows("guest")[0]["id"]
    # The own sheet stays open at the next step, which is shown from its top.
    page.evaluate("() => scrollTo(0, document.body.scrollHeight)")
    leader.go_on("First nose")
    expect(page.locator('[data-step="first_nose"]')).to_be_visible()
    assert page.evaluate("() => scrollY") == 0
    leader.press("Previous step")
    leader.sees_step("Look")


@pytest.mark.extended
def test_own_words_follow_the_colour_of_a_covered_wine(leader, page):
    leader.set_new("Whites", "First")
    page.evaluate(SAVE, [{**leader.named("bottle"), "fields": {"colour": "white"}}])
    leader.press("nose, sips, rating", "radio")
    leader.start()
    leader.press("My own notes")
    offered = page.get_by_role("group", name="Most likely aromas").get_by_role("button")
    expect(offered.first).to_have_text("lemon")
    expect(offered.filter(has_text="cinnamon")).to_have_count(0)


def test_talk_is_one_tap_after_the_last_step(leader, page):
    leader.set_new("Reds", "First", "Second")
    leader.press("rating only", "radio")
    leader.start()
    primary = primary_action(page)
    expect(primary).to_have_text("Next: glass B")
    leader.press("Talk about glass A", "link")
    leader.press("Show the answers")
    expect(thumb_actions(page)).to_have_text(["Uncover the label", "Next: glass B"])
    expect(primary).to_have_text("Next: glass B")
    tap(primary)
    expect(page.get_by_role("img", name="Glass B")).to_be_visible()
    expect(primary).to_have_text("Talk about B")
    tap(primary)
    leader.press("Show the answers")
    # Everything is tasted and talked about: the labels are left.
    expect(primary).to_have_text("Uncover the label")
    tap(primary)
    expect(primary).to_have_text("Uncover glass A")
    tap(primary)
    leader.press("Uncover the label")
    expect(primary).to_have_text("Results")


def test_own_notes_are_in_the_book_once_the_table_ends(leader, page):
    page.goto("/#/table")
    open_tasted(page)
    own = {"group_tasting": TABLE, "entry": "leader", "name": "Greta", "number": 6}
    page.evaluate(SAVE, [{"kind": "guest", "id": id_of("guest", 5), "fields": own}])
    notes = [sheet(4, at, liking=7) for at in (0, 1)]
    for at, one in enumerate(notes):
        one["id"] = sheet_id(id_of("guest", 5), id_of("glass", at))
        one["fields"]["guest"] = id_of("guest", 5)
    page.evaluate(SAVE, notes)
    expect(page.get_by_role("link", name="you and 5 guests")).to_be_visible()
    kept = "Your own notes on 2 wines are in your Book."
    for _ in range(2):
        leader.end_without_showing()
        # The toast stays while the focus is in it.
        page.get_by_role("button", name="Undo").focus()
        expect(toast(page, kept)).to_be_visible()
        expect(page.locator("main")).to_contain_text(kept)
        wait_until(page, lambda: len(leader.rows("visit")) == 1, "the visit")
        tastings = leader.rows("tasting")
        assert {one["bottle"] for one in tastings} == {id_of("bottle", 0), id_of("bottle", 1)}
        for one in tastings:
            assert (one["liking"], one["label_hidden"]) == (7, True)
            assert {"closed_at", "tasted_at", "uncovered_at", "visit"} <= one.keys()
        leader.press("Undo")
        expect(page.get_by_role("button", name="End tasting")).to_be_visible()
        wait_until(page, lambda: leader.rows("visit") + leader.rows("tasting") == [], "the undo")


def test_leader_is_told_that_guests_cannot_be_reached(served):
    page = served.new_page()
    leader = Leader(page)
    leader.set_new("Friday reds", "Torre Quarzo")
    page.evaluate("async () => (await import('/sync/index.js')).syncNow()")
    leader.start()
    notice = page.get_by_role("status").filter(has_text="no connection")
    expect(notice).to_have_count(0)
    served.set_offline(True)
    page.evaluate("async () => { await (await import('/sync/index.js')).syncNow(); }")
    expect(notice).to_contain_text(re.compile(r"no connection since \d+:\d\d"))
    served.set_offline(False)
    expect(notice).to_have_count(0)


def test_phone_goes_round_and_survives_a_reload(leader, page):
    leader.set_new("Friday reds", "Torre Quarzo")
    leader.press("nose, sips, rating", "radio")
    leader.start()
    leader.press("Pass one phone round", "link")
    expect(page.get_by_role("navigation", name="Main menu")).to_be_hidden()
    leader.pass_to("Ada")
    tap(page.get_by_role("group", name="Most likely aromas").get_by_role("button").first)
    written(page)
    tap(primary_action(page))
    expect(page.locator('[data-step="sip_1"]')).to_be_visible()
    page.reload()
    expect(page.get_by_role("heading", level=1)).to_have_text("Ada")
    expect(page.locator('[data-step="sip_1"]')).to_be_visible()
    for step in ("sip_2", "verdict"):
        tap(primary_action(page))
        expect(page.locator(f'[data-step="{step}"]')).to_be_visible()
    leader.press("Done: pass it on")
    # Nobody can open the answers of somebody who has passed the phone on.
    expect(page.get_by_role("button", name=re.compile("Ada"))).to_be_disabled()
    leader.pass_to("Ben")
    expect(page.get_by_role("list", name="Your aromas")).to_have_count(0)
    assert [guest["entry"] for guest in leader.rows("guest")] == ["passed", "passed"]


def test_host_takes_a_turn_at_the_shared_phone(leader, page):
    leader.set_new("Friday reds", "Torre Quarzo", "Corte Basalto")
    leader.press("rating only", "radio")
    leader.start()
    leader.press("Pass one phone round", "link")
    expect(page.get_by_text("Deleted after 30 days.")).to_be_visible()
    leader.pass_to("Ada")
    leader.press("Done: pass it on")
    leader.press(re.compile("host", re.IGNORECASE))
    page.get_by_role("slider").first.press("ArrowRight")
    written(page)
    leader.press("Done: pass it on")
    leader.press("Back to the host", "link")
    # Ada passed the phone on without an answer, so the next glass is not the natural next step.
    expect(page.get_by_role("link", name="Pass the phone")).to_have_class(re.compile("primary"))
    assert [guest["entry"] for guest in leader.rows("guest")] == ["passed", "leader"]


def test_passed_phone_asks_which_glass_has_the_same_wine(leader, page):
    leader.set_new("Friday reds", "First", "Second", "Third")
    leader.press("rating only", "radio")
    asked = page.get_by_role("radiogroup", name="Guess before uncovering?")
    tap(asked.get_by_role("radio", name="yes"))
    leader.press("each at their own pace", "radio")
    leader.start()
    leader.press("Pass one phone round", "link")
    leader.pass_to("Ada")
    same = page.get_by_role("radiogroup", name="Guess: the same wine as")
    like = page.get_by_role("slider").first
    # Nothing was tasted before the first glass, and nothing noted of the second.
    expect(like).to_be_visible()
    expect(same).to_have_count(0)
    like.press("ArrowRight")
    written(page)
    for _ in range(2):
        leader.press("Done: pass it on")
        leader.press(re.compile("^Ada"))
    expect(page.get_by_role("img", name="Glass C")).to_be_visible()
    expect(same.get_by_role("radio")).to_have_text(["A"])
    tap(same.get_by_role("radio", name="A"))
    written(page)
    [named] = [row for row in leader.rows("sheet") if "guess_same_as" in row]
    assert named["guess_same_as"] == leader.rows("glass")[0]["id"]


def test_ended_table_is_listed_and_deleted_with_undo(leader, page):
    page.goto("/#/table")
    open_tasted(page)
    leader.end_without_showing()
    expect(page.get_by_role("heading", level=1)).to_have_text("Results")
    page.goto("/#/table")
    past = page.locator("section", has=page.get_by_role("heading", name="Past tables"))
    tap(past.get_by_role("link", name=re.compile("Friday reds")))
    leader.press("Delete this table")
    expect(page.get_by_role("heading", level=1)).to_have_text("Table")
    expect(page.get_by_role("heading", name="Past tables")).to_have_count(0)
    assert leader.rows("sheet") == []
    leader.press("Undo")
    expect(past.get_by_role("link")).to_have_count(1)
    assert len(leader.rows("sheet")) == 20


def test_guest_of_the_invitation_answers_and_the_leader_sees_it(served):
    leader = Leader(served.new_page())
    leader.set_new("Friday reds", "Torre Quarzo")
    leader.press("rating only", "radio")
    leader.press("Invite guests", "link")
    expect(leader.page.get_by_role("img", name="QR code of the invitation")).to_be_visible()
    id_ = leader.rows("group_tasting")[0]["id"]
    path = leader.page.evaluate(
        """async (id) => (await (await import('/account/api.js'))
          .apiRequest('POST', `/api/group-tastings/${id}/invitation`)).path""",
        id_,
    )
    url = leader.page.url.split("#")[0]
    with served.browser.new_context(base_url=url, service_workers="block", **PHONE) as other:
        guest = other.new_page()
        join(guest, path, "Ada")
        expect(leader.page.get_by_text("Ada", exact=True)).to_be_visible()
        leader.press("To the table", "link")
        leader.start()
        expect(leader.page.get_by_role("link", name="1 guest", exact=True)).to_be_visible()
        expect(leader.now().get_by_role("status")).to_have_text(re.compile("^0 ?of 1 done$"))
        slider = guest.get_by_role("slider").first
        slider.focus()
        guest.keyboard.press("ArrowRight")
        expect(leader.now()).to_contain_text("1 of 1 guest noted something")
        expect(leader.now()).to_contain_text("Still tasting: Ada")
        tap(guest.get_by_role("button", name="I’m done"))
        expect(leader.now().get_by_role("status")).to_have_text(re.compile("^1 ?of 1 done$"))


def test_guest_joins_from_the_table_room(leader, page):
    page.goto("/#/table")
    leader.press(re.compile("^Join a tasting"), "link")
    expect(page.get_by_label("Code")).to_be_visible()
    leader.press(re.compile("^No network"), "link")
    expect(page).to_have_url(re.compile("#/guest/flight$"))


def test_deleted_table_says_so(page):
    page.goto(f"/#/table/{TABLE}")
    expect(page.get_by_role("main")).to_contain_text("isn’t on this phone")
