"""Tastings at the table, on the leader's phone: set, lead, pass round, invite, end."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.browser.conftest import PHONE, LiveServer
from tests.browser.engines import tap
from tests.browser.led_table import join
from tests.browser.pour_page import written
from tests.browser.table_page import TABLE, Leader, open_tasted

pytestmark = pytest.mark.browser


@pytest.fixture
def leader(page: Page) -> Leader:
    return Leader(page)


@pytest.fixture
def served(browser: Browser, live_server: LiveServer) -> Iterator[BrowserContext]:
    """Open a phone that syncs."""
    options = {**PHONE, "service_workers": "block"}
    with browser.new_context(base_url=live_server.url, **options) as opened:
        yield opened


def test_table_is_set_with_new_wines_and_settings(leader, page):
    leader.set_new("Friday reds", "Torre Quarzo", "Clos Verrin")
    leader.press("visible", "radio")
    leader.press("rating only", "radio")
    leader.press("without names", "radio")
    expect(page.get_by_role("heading", level=1)).to_have_text("Friday reds")
    leader.start()
    [table] = leader.rows("group_tasting")
    assert (table["name"], table["steps"]) == ("Friday reds", ["verdict"])
    assert (table["labels_hidden"], table["names_shown"]) == (False, False)
    names = [row["name"] for row in leader.rows("bottle")]
    assert sorted(names) == ["Clos Verrin", "Torre Quarzo"]
    assert [glass["mark"] for glass in leader.rows("glass")] == ["A", "B"]


def test_name_typed_fast_is_stored_whole(leader, page):
    leader.set_new("")
    name = "Reds of the north, second evening"
    page.get_by_label("Name of the table").press_sequentially(name, delay=1)
    expect(page.get_by_role("heading", level=1)).to_have_text(name)
    expect(page.get_by_label("Name of the table")).to_have_value(name)
    assert leader.rows("group_tasting")[0]["name"] == name


def test_glass_moves_up_and_comes_back_after_undo(leader, page):
    leader.set_new("Whites", "First", "Second", "Third")
    leader.press("Move glass C up")
    expect(leader.glasses()).to_contain_text(["First", "Third", "Second"])
    leader.press("Remove glass A")
    expect(leader.glasses()).to_contain_text(["Third", "Second"])
    leader.press("Undo")
    expect(leader.glasses()).to_contain_text(["First", "Third", "Second"])


def test_one_wine_is_poured_twice_and_once_again(leader, page):
    leader.set_new("Whites", "First", "Second", "Third")
    leader.press("yes, at random", "radio")
    expect(leader.glasses()).to_have_count(4)
    bottles = [glass["bottle"] for glass in leader.rows("glass")]
    assert len(set(bottles)) == 3
    twice = page.get_by_role("radiogroup", name="Pour one wine twice?")
    tap(twice.get_by_role("radio", name="no", exact=True))
    expect(leader.glasses()).to_have_count(3)


def test_own_order_without_a_leader_opens_all_glasses(leader, page):
    leader.set_new("Whites", "First", "Second")
    leader.press("different for each guest", "radio")
    leader.press("each at their own pace", "radio")
    leader.start()
    [table] = leader.rows("group_tasting")
    assert (table["order"], table["pace"]) == ("balanced", "free")
    assert "open_glass" not in table


def test_own_order_is_led_by_place(leader, page):
    leader.set_new("Whites", "First", "Second")
    leader.press("rating only", "radio")
    leader.press("different for each guest", "radio")
    expect(page.get_by_text("You say “second glass”")).to_be_visible()
    leader.start()
    expect(page.locator(".table-where")).to_contain_text("Glass number 1")
    leader.press("Next: glass number 2")
    expect(page.locator(".table-where")).to_contain_text("Glass number 2")
    # The first guest's second glass is B, the second guest's is A.
    leader.press("Pass one phone round", "link")
    for name, mark in (("Pia", "B"), ("Quim", "A")):
        page.get_by_label("First name").fill(name)
        leader.press("Start")
        expect(page.locator(".table-where .glass-mark")).to_have_text(mark)
        leader.press("Done: pass it on")


def test_step_closes_when_the_leader_goes_on(leader, page):
    leader.set_new("Friday reds", "Torre Quarzo")
    leader.start()
    expect(page.locator(".table-now h2")).to_have_text("Look")
    leader.go_on("First nose")
    [glass] = leader.rows("glass")
    assert "closed_look_at" in glass
    assert "closed_first_nose_at" not in glass
    leader.press("Back")
    expect(page.locator(".table-now h2")).to_have_text("Look")
    assert "closed_look_at" not in leader.rows("glass")[0]


def test_leader_writes_the_guidance_anew(leader, page):
    leader.set_new("Friday reds", "Torre Quarzo")
    leader.start()
    leader.press("Edit this sentence")
    page.get_by_label("What guests read").fill("Hold it against the candle.")
    leader.press("Done")
    expect(page.locator(".table-guidance")).to_have_text("Hold it against the candle.")
    assert leader.rows("group_tasting")[0]["guidance_look"] == "Hold it against the candle."


def test_leader_notes_an_own_glass(leader, page):
    leader.set_new("Friday reds", "Torre Quarzo")
    leader.start()
    leader.press("My own notes")
    tap(page.locator('[data-field="sheet.look_depth"]').get_by_role("radio", name="deep"))
    expect(page.locator(".table-answered")).to_contain_text("1")
    written(page)
    [sheet] = leader.rows("sheet")
    assert sheet["look_depth"] == "deep"
    assert sheet["guest"] == leader.rows("guest")[0]["id"]
    leader.go_on("First nose")
    leader.press("Back")
    expect(page.locator(".table-now h2")).to_have_text("Look")


def test_phone_goes_round_and_survives_a_reload(leader, page):
    leader.set_new("Friday reds", "Torre Quarzo")
    leader.press("nose, palate, rating", "radio")
    leader.start()
    leader.press("Pass one phone round", "link")
    expect(page.get_by_role("navigation", name="Main menu")).to_be_hidden()
    leader.pass_to("Ada")
    tap(page.locator(".aroma").first)
    written(page)
    tap(page.locator(".at-thumb .primary"))
    expect(page.locator('[data-step="sip_1"]')).to_be_visible()
    page.reload()
    expect(page.get_by_role("heading", level=1)).to_have_text("Ada")
    expect(page.locator('[data-step="sip_1"]')).to_be_visible()
    for step in ("sip_2", "verdict"):
        tap(page.locator(".at-thumb .primary"))
        expect(page.locator(f'[data-step="{step}"]')).to_be_visible()
    leader.press("Done: pass it on")
    # Nobody can open the answers of somebody who has passed the phone on.
    expect(page.get_by_role("button", name=re.compile("Ada"))).to_be_disabled()
    leader.pass_to("Ben")
    expect(page.locator(".noted-word")).to_have_count(0)
    assert [guest["entry"] for guest in leader.rows("guest")] == ["passed", "passed"]


def test_passed_phone_asks_which_glass_has_the_same_wine(leader, page):
    leader.set_new("Friday reds", "First", "Second", "Third")
    leader.press("rating only", "radio")
    leader.start()
    leader.press("Pass one phone round", "link")
    leader.pass_to("Ada")
    same = page.get_by_role("radiogroup", name="Guess: the same wine as")
    expect(same.get_by_role("radio")).to_have_text(["B", "C"])
    tap(same.get_by_role("radio", name="C"))
    written(page)
    glass = leader.rows("glass")[2]["id"]
    assert leader.rows("sheet")[0]["guess_same_as"] == glass


def test_ended_table_is_listed_and_deleted_with_undo(leader, page):
    page.goto("/#/table")
    open_tasted(page)
    leader.press("End tasting")
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


def test_invitation_without_a_network_offers_other_ways(leader, page):
    leader.set_new("Friday reds", "Torre Quarzo")
    leader.press("Invite guests", "link")
    expect(page.locator(".notice")).to_contain_text("still pass one phone round")
    expect(page.get_by_role("link", name=re.compile("Pass one phone round"))).to_be_visible()
    expect(page.get_by_role("link", name=re.compile("QR codes"))).to_be_visible()


def test_guest_of_the_invitation_answers_and_the_leader_sees_it(served):
    leader = Leader(served.new_page())
    leader.set_new("Friday reds", "Torre Quarzo")
    leader.press("rating only", "radio")
    leader.press("Invite guests", "link")
    expect(leader.page.locator(".qr-code")).to_be_visible()
    id_ = leader.rows("group_tasting")[0]["id"]
    path = leader.page.evaluate(
        """async (id) => (await (await import('/account/api.js'))
          .ask('POST', `/api/group-tastings/${id}/invitation`)).path""",
        id_,
    )
    url = leader.page.url.split("#")[0]
    with served.browser.new_context(base_url=url, service_workers="block", **PHONE) as other:
        guest = other.new_page()
        join(guest, path, "Ada")
        expect(leader.page.get_by_text("Ada", exact=True)).to_be_visible()
        leader.press("To the table", "link")
        leader.start()
        expect(leader.page.locator(".table-answered")).to_contain_text("0")
        slider = guest.get_by_role("slider").first
        slider.focus()
        guest.keyboard.press("ArrowRight")
        expect(leader.page.locator(".table-now")).to_contain_text("notes from 1 of 1")
        expect(leader.page.locator(".table-now")).to_contain_text("Still tasting: Ada")
        guest.get_by_role("button", name="I’m done").tap()
        expect(leader.page.locator(".table-answered .figure")).to_have_text("1")


def test_what_guests_were_told_only_becomes_more_private(leader, page):
    page.goto("/#/table")
    open_tasted(page, "/set", names_shown=True)
    expect(page.get_by_role("radiogroup", name="Show answers")).to_be_visible()
    expect(page.get_by_role("radiogroup", name="Your guests’ answers")).to_have_count(0)
    leader.press("without names", "radio")
    expect(page.get_by_role("radiogroup", name="Show answers")).to_have_count(0)
    assert leader.rows("group_tasting")[0]["names_shown"] is False


def test_empty_glass_gets_its_wine_after_the_start(leader, page):
    page.goto("/#/table")
    leader.press(re.compile("First lesson: one glass"))
    expect(leader.glasses()).to_have_count(1)
    leader.start()
    leader.press("Table settings", "link")
    leader.press("choose a wine")
    dialog = page.get_by_role("dialog")
    dialog.get_by_role("searchbox").fill("Torre Quarzo")
    tap(dialog.get_by_role("button", name="Add “Torre Quarzo”"))
    expect(leader.glasses()).to_contain_text("Torre Quarzo")
    assert "bottle" in leader.rows("glass")[0]


def test_deleted_table_says_so(page):
    page.goto(f"/#/table/{TABLE}")
    expect(page.locator(".empty")).to_contain_text("isn’t on this phone")
