"""A guest's views within the table: back, resuming, the bar, done, consent, and the ending."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Locator, Page, Route, expect

from tests.browser.any_page import part
from tests.browser.engines import tap
from tests.browser.guest_phones import (
    PhoneOpener,
    at_step,
    guest_at,
    guest_phone,
    leader,
    leader_phone,
)
from tests.browser.led_table import Leader, LeaderPhone, glass_id, join, rate
from tests.browser.waiting import wait_until

__all__ = ["guest_phone", "leader", "leader_phone"]
pytestmark = pytest.mark.browser

LIKE = "How much do you like it?"
AT_TOP = "() => scrollY === 0"


def visible(page: Page, step: str) -> None:
    expect(page.locator(f"[data-step={step}]")).to_be_visible()


def test_back_goes_one_view_back_and_asks(leader: Leader, guest_phone: PhoneOpener) -> None:
    page = guest_at(leader, guest_phone, "look")
    tap(page.get_by_role("button", name="Glass B"))
    expect(page.get_by_text("This glass isn’t open yet")).to_be_visible()
    tap(page.get_by_role("button", name="Glass A"))
    page.go_back()
    expect(page.get_by_role("heading", name="Glass B")).to_be_visible()
    page.go_back()
    visible(page, "look")
    # One more asks before the table is left, also after a reload.
    page.reload()
    visible(page, "look")
    page.go_back()
    expect(page.get_by_text("You’re still at Greta’s table")).to_be_visible()
    tap(page.get_by_role("button", name="Back to the table"))
    visible(page, "look")
    page.go_back()
    tap(page.get_by_role("link", name="Leave this page"))
    expect(page.get_by_role("heading", name="Join a tasting")).to_be_visible()


@pytest.mark.extended
def test_link_resumes_after_joining_by_code(leader: Leader, guest_phone: PhoneOpener) -> None:
    leader.set_table()
    leader.open_step(0, "look")
    page = guest_phone()
    join(page, f"/#/guest/{leader.invitation['code']}", "Ada")
    visible(page, "look")
    for path in (leader.invitation["path"], f"/#/guest/{leader.invitation['code']}"):
        page.goto("/#/guest")
        expect(page.get_by_role("heading", name="Join a tasting")).to_be_visible()
        page.goto(path)
        visible(page, "look")
    assert [guest["name"] for guest in leader.rows("guest")] == ["Ada"]
    # The own notebook leads back to the table as well.
    page.goto("/#/table")
    seats = page.get_by_role("region", name="Where you are a guest")
    tap(seats.get_by_role("link", name="Monday table"))
    visible(page, "look")


@pytest.mark.parametrize("short", ["/t", pytest.param("/#/t", marks=pytest.mark.extended)])
def test_short_address_shows_the_code_field(
    leader: Leader, guest_phone: PhoneOpener, short: str
) -> None:
    leader.set_table()
    page = guest_phone()
    page.goto(short)
    page.get_by_label("Code").fill(leader.invitation["code"])
    tap(page.get_by_role("button", name="Find the table"))
    expect(page.get_by_label("Your first name")).to_be_focused()


@pytest.mark.service_worker
def test_short_address_works_with_the_worker(leader: Leader, guest_phone: PhoneOpener) -> None:
    leader.set_table()
    page = guest_phone()
    page.goto("/")
    page.evaluate("() => navigator.serviceWorker.ready.then(() => undefined)")
    page.goto(f"/t/{leader.invitation['code']}")
    expect(page.get_by_label("Your first name")).to_be_visible()


def test_typing_guest_is_not_pulled_to_the_next_step(
    leader: Leader, guest_phone: PhoneOpener
) -> None:
    page = guest_at(leader, guest_phone, "first_nose")
    page.get_by_role("searchbox").fill("old barn")
    # Before the step closes, which takes the focus from its field.
    leader.open_step(1, "look")
    bar = page.get_by_role("status").filter(has_text="Everyone is at")
    expect(bar).to_contain_text("Everyone is at: Look, glass B")
    leader.close_step(0, "first_nose", in_ms=1_000)
    visible(page, "first_nose")
    # What was typed and not added may be half a word: it stays on the guest's own phone.
    expect(page.get_by_text("Typed but not added: old barn.")).to_be_visible()
    page.evaluate("() => scrollTo(0, document.body.scrollHeight)")
    expect(bar).to_be_in_viewport()
    tap(bar.get_by_role("button", name="Go there"))
    visible(page, "look")
    expect(bar).to_have_count(0)
    assert page.evaluate(AT_TOP)
    tap(page.get_by_role("button", name="Glass B"))
    tap(page.get_by_role("button", name="My notes"))
    expect(part(page, "Glass A")).to_contain_text("old barn")
    assert leader.rows("sheet") == []


def test_typed_word_outlives_the_page(leader: Leader, guest_phone: PhoneOpener) -> None:
    page = guest_at(leader, guest_phone, "first_nose")
    page.get_by_role("searchbox").fill("rose")
    page.reload()
    expect(page.get_by_role("searchbox")).to_have_value("rose")
    page.close()
    leader.close_step(0, "first_nose", in_ms=1_000)
    leader.open_step(0, "sip_1")
    page = page.context.new_page()
    page.goto(leader.invitation["path"])
    visible(page, "sip_1")
    wait_until(page, lambda: leader.rows("sheet"), "the typed word in the leader's book")
    # The name of a known aroma is that aroma.
    assert [sheet["first_nose_words"] for sheet in leader.rows("sheet")] == [["rose"]]


def test_guest_on_another_page_sees_where_everyone_is(
    leader: Leader, guest_phone: PhoneOpener
) -> None:
    page = guest_at(leader, guest_phone, "verdict")
    rate(page, LIKE, 3)
    tap(page.get_by_role("button", name="Glass B"))
    tap(page.get_by_role("button", name="My notes"))
    expect(page.get_by_role("heading", name="My notes")).to_be_visible()
    leader.open_step(1, "look")
    bar = page.get_by_role("status").filter(has_text="Everyone is at")
    expect(bar).to_contain_text("Everyone is at: Look, glass B")
    # Own notes stay open, and the bar says how old it is when the phone is offline.
    expect(page.get_by_role("heading", name="My notes")).to_be_visible()
    page.context.set_offline(True)
    expect(bar).to_contain_text(re.compile(r"as of \d{1,2}:\d\d, offline"))
    tap(bar.get_by_role("button", name="Go there"))
    visible(page, "look")
    expect(bar).to_contain_text(", offline")
    page.context.set_offline(False)
    expect(bar).to_have_count(0)


def test_done_is_sent_and_taken_back(leader_phone: LeaderPhone, guest_phone: PhoneOpener) -> None:
    leader_phone.set_table()
    page, other = guest_phone(), guest_phone()
    at_step(leader_phone, page, "verdict")
    join(other, leader_phone.invitation["path"], "Ben")
    rate(other, LIKE, 3)
    # Held instead of offline, where a guest goes on alone and has no such button.
    held: list[Route] = []
    page.route("**/api/guests/sheets/*", lambda route: held.append(route))
    tap(page.get_by_role("button", name="I’m done"))
    expect(page.get_by_text("Greta sees that you’re done")).to_be_visible()
    wait_until(page, lambda: bool(held), "the request")
    held.pop().continue_()
    page.unroute("**/api/guests/sheets/*")
    leader_phone.page.goto(f"/#/table/{leader_phone.table}")
    now = leader_phone.page.get_by_role("region", name="Open step")
    expect(now).to_contain_text(re.compile(r"1\s*of 2 done"))
    expect(now).to_contain_text("Still tasting: Ben")
    expect(now).to_contain_text("1 of 2 guests noted something")
    tap(other.get_by_role("button", name="I’m done"))
    expect(now).to_contain_text(re.compile(r"2\s*of 2 done"))
    tap(page.get_by_role("button", name="I’m not done after all"))
    expect(now).to_contain_text("Still tasting: Ada")


def test_only_a_guest_who_agreed_becomes_a_person(
    leader_phone: LeaderPhone, guest_phone: PhoneOpener
) -> None:
    page = guest_at(leader_phone, guest_phone, "verdict")
    rate(page, LIKE, 3)
    leader_phone.show_answers(0)
    results = leader_phone.page
    results.goto(f"/#/table/{leader_phone.table}/results")
    expect(results.get_by_text("hasn’t agreed on their phone")).to_be_visible()
    expect(results.get_by_role("button", name="Ada agrees")).to_have_count(0)
    tap(page.get_by_role("button", name="Let Greta remember my taste"))
    dialog = page.get_by_role("dialog")
    expect(dialog).to_contain_text("You haven’t agreed")
    tap(dialog.get_by_role("button", name="I agree"))
    expect(dialog).to_contain_text("You agreed on")
    wait_until(page, lambda: leader_phone.rows("guest")[0].get("agreed_at"), "the agreement")
    tap(results.get_by_role("button", name="Ada agrees"))
    expect(results.get_by_role("link", name="Ada’s taste, saved")).to_be_visible()
    agreed = leader_phone.rows("guest")[0]["agreed_at"]
    assert [person["agreed_at"] for person in leader_phone.rows("person")] == [agreed]
    tap(dialog.get_by_role("button", name="Stop, and delete it"))
    expect(dialog).to_contain_text("You haven’t agreed")
    wait_until(page, lambda: not leader_phone.rows("person"), "the person's end")
    assert leader_phone.rows("guest")[0]["person"] is None


def rated_twice(leader: Leader, page: Page) -> None:
    """Let the only guest rate two glasses, and guess about the first one."""
    at_step(leader, page, "verdict")
    rate(page, LIKE, 3)
    page.get_by_label("Guess: alcohol").fill("14")
    page.get_by_label("Guess: age").fill("five")
    expect(page.get_by_text("Please enter a number, such as 4.")).to_be_visible()
    page.get_by_label("Guess: age").fill("7")
    page.get_by_label("Guess: grape").fill("merlot")
    page.get_by_role("button", name="I’m done").focus()
    leader.open_step(1, "verdict")
    expect(page.get_by_role("heading", name="Glass B")).to_be_visible()
    rate(page, LIKE, 1)
    expect(page.get_by_text("all sent")).to_be_visible()


def test_own_guess_is_shown_against_the_label(leader: Leader, guest_phone: PhoneOpener) -> None:
    leader.set_table()
    page = guest_phone()
    rated_twice(leader, page)
    tap(page.get_by_role("button", name="Glass A"))
    expect(page.get_by_role("heading", name="Your answers")).to_be_visible()
    expect(part(page, "Your guesses")).to_have_count(0)
    leader.show_answers(0)
    leader.reveal(0)
    guesses = part(page, "Your guesses")
    expect(guesses).to_contain_text("You said 14%")
    expect(guesses).to_contain_text("It’s 13.5%: your guess was too high by 0.5% alcohol.")
    expect(guesses).to_contain_text("Right: 7 years.")
    expect(guesses).to_contain_text("You said merlot.No grape was noted for this wine.")


def results_in(page: Page) -> Locator:
    return part(page, "How the table liked the wines").get_by_role("listitem")


def test_guest_sees_the_results_once_they_are_opened(
    leader_phone: LeaderPhone, guest_phone: PhoneOpener
) -> None:
    leader_phone.set_table()
    page = guest_phone()
    rated_twice(leader_phone, page)
    leader_phone.show_answers(0)
    leader_phone.change(open_glass=None, open_step=None)
    expect(page.get_by_text("The answers are shown")).to_be_visible()
    expect(page.locator("li").filter(has_text="answers shown")).to_be_visible()
    expect(results_in(page)).to_have_count(0)
    leader_phone.page.goto(f"/#/table/{leader_phone.table}")
    tap(leader_phone.page.get_by_role("button", name="Show the results to your guests"))
    asked = leader_phone.page.get_by_role("dialog")
    tap(asked.get_by_role("button", name="Show the results", exact=True))
    expect(results_in(page)).to_have_count(1)
    expect(results_in(page)).to_contain_text("The table: like very much (8 out of 9)")
    expect(results_in(page)).to_contain_text("You: like very much (8)")
    page.evaluate("() => scrollTo(0, document.body.scrollHeight)")
    leader_phone.reveal(0)
    leader_phone.glass(
        1, uncovered_at=leader_phone.now(), bottle=leader_phone.rows("glass")[0]["bottle"]
    )
    leader_phone.end()
    expect(page.get_by_text("The tasting has ended")).to_be_visible()
    assert page.evaluate(AT_TOP)
    expect(results_in(page)).to_have_text(
        [re.compile("Glass A: Torre Quarzo"), re.compile("Glass B: Torre Quarzo")]
    )
    expect(part(page, "How the table liked the wines")).to_contain_text(
        "Glasses A and B held the same wine"
    )
    expect(part(page, "How the table liked the wines")).to_contain_text(
        "Nobody at the table found it."
    )
    assert {row["id"] for row in leader_phone.rows("glass")} == {glass_id(0), glass_id(1)}
    tap(page.get_by_role("button", name="Glass B"))
    label = part(page, re.compile("^Torre Quarzo"))
    expect(label).to_contain_text("This is the same wine as in glass A.")


@pytest.mark.extended
def test_opened_aroma_family_is_in_view(leader: Leader, guest_phone: PhoneOpener) -> None:
    page = guest_at(leader, guest_phone, "first_nose")
    tap(page.get_by_role("button", name="Nuts", exact=True))
    words = page.get_by_role("list", name="Nuts").get_by_role("button").last
    expect(words).to_be_in_viewport()
    bottom = page.locator(".at-thumb").bounding_box()
    box = words.bounding_box()
    assert bottom is not None
    assert box is not None
    assert box["y"] + box["height"] <= bottom["y"]
