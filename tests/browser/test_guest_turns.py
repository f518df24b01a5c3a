"""A guest's page when the leader goes on: no taps for a moment, and late answers are named."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from tests.browser.engines import tap
from tests.browser.guest_phones import PhoneOpener, guest_at, guest_phone, leader
from tests.browser.led_table import Leader, rate
from tests.browser.waiting import wait_until

__all__ = ["guest_phone", "leader"]
pytestmark = [pytest.mark.browser, pytest.mark.waits]

# Notes what taps in the middle of the page and on its main button reach at the next step.
AT_THE_TURN = """() => new Promise((done) => {
  const look = () => {
    if (!document.querySelector('[data-step=whole]')) return;
    observer.disconnect();
    const foot = document.querySelector('.at-thumb .button').getBoundingClientRect();
    const hit = [innerHeight / 2, foot.top + foot.height / 2]
      .map((y) => document.elementFromPoint(innerWidth / 2, y));
    done({
      covered: hit.every((top) => Boolean(top?.closest('.turn-cover'))),
      text: hit.map((top) => top?.innerText ?? '').join(' / '),
    });
  };
  const observer = new MutationObserver(() => setTimeout(look));
  observer.observe(document.body, { childList: true, subtree: true });
})"""


def test_next_step_takes_no_tap_for_a_moment(leader: Leader, guest_phone: PhoneOpener) -> None:
    page = guest_at(leader, guest_phone, "sip_1")
    page.evaluate("() => scrollTo(0, document.body.scrollHeight)")
    page.evaluate(f"() => {{ globalThis.turn = ({AT_THE_TURN})(); }}")
    leader.open_step(0, "whole")
    turn = page.evaluate("() => globalThis.turn")
    assert turn["covered"], turn
    expect(page.locator(".turn-cover")).to_have_count(0)
    assert page.evaluate("() => scrollY") == 0
    rate(page, "Balance", 3)
    expect(page.get_by_text("all sent")).to_be_visible()


def test_late_answer_is_named_at_the_next_step(leader: Leader, guest_phone: PhoneOpener) -> None:
    page = guest_at(leader, guest_phone, "sip_1")
    page.context.set_offline(True)
    leader.close_step(0, "sip_1")
    leader.open_step(0, "whole")
    rate(page, "Acidity", 4)
    page.context.set_offline(False)
    expect(page.locator("[data-step=whole]")).to_be_visible()
    expect(page.get_by_text("Glass A, First sip: you noted something after")).to_be_visible()
    tap(page.get_by_role("button", name="Look"))
    expect(page.get_by_text("1 answer noted later doesn’t count for the table")).to_be_visible()
    tap(page.get_by_role("button", name="Go there"))
    expect(page.get_by_text("you noted something after")).to_have_count(0)


def test_step_can_be_finished_after_the_leader_went_on(
    leader: Leader, guest_phone: PhoneOpener
) -> None:
    page = guest_at(leader, guest_phone, "sip_1")
    rate(page, "Acidity", 2)
    leader.go_on(0, "sip_1", "whole")
    expect(page.get_by_text("First sip: open for a few more seconds")).to_be_visible()
    tap(page.get_by_role("button", name="Finish it"))
    expect(page.get_by_text("still counts")).to_be_visible()
    rate(page, "Sweetness", 1)
    wait_until(page, lambda: "sweetness" in leader.rows("sheet")[0], "the sweetness")
    tap(page.get_by_role("button", name="Go there"))
    expect(page.get_by_role("slider", name="Balance")).to_be_visible()
    expect(page.get_by_text("First sip: closed")).to_be_visible()
    expect(page.get_by_role("button", name="Finish it")).to_have_count(0)


@pytest.mark.extended
def test_finished_step_is_not_offered_again(leader: Leader, guest_phone: PhoneOpener) -> None:
    page = guest_at(leader, guest_phone, "sip_1")
    expect(page.locator(".page-head").get_by_role("status")).to_be_empty()
    rate(page, "Acidity", 2)
    tap(page.get_by_role("button", name="I’m done"))
    expect(page.get_by_text("all sent")).to_be_visible()
    leader.go_on(0, "sip_1", "whole")
    expect(page.get_by_role("slider", name="Balance")).to_be_visible()
    expect(page.get_by_text("First sip: ")).to_have_count(0)


def test_shown_label_waits_until_the_guest_goes_on(
    leader: Leader, guest_phone: PhoneOpener
) -> None:
    page = guest_at(leader, guest_phone, "sip_1")
    leader.show_answers(0)
    leader.reveal(0)
    label = page.get_by_role("heading", name="Torre Quarzo 2019")
    expect(label).to_be_visible()
    leader.open_step(1, "look")
    bar = page.get_by_role("status").filter(has_text="Everyone is at: Look, glass B")
    expect(bar).to_be_visible()
    expect(label).to_be_visible()
    leader.change(open_glass=None, open_step=None)
    expect(page.get_by_text("No glass is open now.")).to_be_visible()
    expect(label).to_be_visible()
    leader.open_step(1, "look")
    tap(bar.get_by_role("button", name="Go there"))
    expect(page.locator("[data-step=look]")).to_be_visible()
    # An ordinary step goes on with the leader.
    leader.open_step(1, "sip_1")
    expect(page.locator("[data-step=sip_1]")).to_be_visible()


def test_shown_labels_are_listed_where_the_guest_waits(
    leader: Leader, guest_phone: PhoneOpener
) -> None:
    page = guest_at(leader, guest_phone, "sip_1")
    leader.change(open_glass=None, open_step=None)
    leader.show_answers(0)
    leader.reveal(0)
    expect(page.get_by_text("The labels are shown.")).to_be_visible()
    later = page.get_by_text("As soon as Greta shows the results")
    expect(later).to_have_count(0)
    leader.reveal(1)
    expect(later).to_be_visible()
    tap(page.locator("li").get_by_role("button").filter(has_text="Glass A"))
    expect(page.get_by_role("heading", name="Torre Quarzo 2019")).to_be_visible()


@pytest.mark.extended
def test_page_is_not_moved_without_a_leader(leader: Leader, guest_phone: PhoneOpener) -> None:
    page = guest_at(leader, guest_phone, "sip_1")
    leader.change(pace="free")
    expect(page.get_by_role("button", name="Next: Overall")).to_be_visible()
    expect(page.locator("[data-step=sip_1]")).to_be_visible()


def test_guest_hears_what_the_leader_does(leader: Leader, guest_phone: PhoneOpener) -> None:
    page = guest_at(leader, guest_phone, "sip_1")
    said = page.locator("main > p.unseen[role=status]")
    expect(said).to_have_text("")
    leader.open_step(0, "whole")
    expect(said).to_have_text("Glass A: Overall")
    expect(page.get_by_role("heading", name="Overall")).to_be_focused()
    leader.show_answers(0)
    expect(said).to_have_text("Glass A: The answers")
    expect(page.get_by_role("heading", level=1)).to_be_focused()
    leader.reveal(0)
    expect(said).to_have_text(re.compile(r"^The label is shown\. Glass A: \w+.*\.$"))
    page.get_by_role("button", name="Glass B").focus()
    leader.end()
    expect(page.get_by_role("heading", level=1)).to_be_focused()
