"""A guest of a led tasting: joining, tasting along, bad networks, taking notes away."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from tests.browser import led_table
from tests.browser.engines import tap
from tests.browser.guest_phones import (
    COUNT_TAPS,
    PhoneOpener,
    at_step,
    guest_at,
    guest_phone,
    leader,
    leader_phone,
    liking_of,
    note_a_first_word,
)
from tests.browser.led_table import (
    CAMERA,
    WINES,
    Leader,
    LeaderPhone,
    api_bodies,
    join,
    rate,
    table_records,
)
from tests.browser.live_server import LiveServer
from tests.browser.pour_page import likely_aromas
from tests.browser.waiting import wait_until

__all__ = ["guest_phone", "leader", "leader_phone"]
pytestmark = pytest.mark.browser

# What is missing over plain http, and in some browsers.
INSECURE = """() => {
  for (const name of ['subtle', 'randomUUID'])
    Object.defineProperty(Crypto.prototype, name, { value: undefined });
  for (const name of ['locks', 'serviceWorker', 'mediaDevices', 'storage', 'share', 'canShare'])
    Object.defineProperty(Navigator.prototype, name, { value: undefined });
}"""
OWN_BOOK = """async () => {
  const { allOf } = await import('/store/queries.js');
  const [bottles, tastings, visits] = await Promise.all(['bottle', 'tasting', 'visit'].map(allOf));
  return {
    bottles: bottles.map(({ fields }) => fields.name),
    tastings: tastings.map(({ fields }) => [fields.liking ?? null, fields.flight_mark]),
    visits: visits.map(({ fields }) => fields.name),
  };
}"""


def test_guest_notes_the_first_word_within_four_taps(
    leader: Leader, guest_phone: PhoneOpener
) -> None:
    leader.set_table()
    leader.open_step(0, "first_nose")
    page = guest_phone(COUNT_TAPS)
    page.goto(leader.invitation["path"])
    note_a_first_word(leader, page)
    expect(page.get_by_role("navigation", name="Main menu")).to_be_hidden()
    assert [len(sheet["first_nose_words"]) for sheet in leader.rows("sheet")] == [1]


def test_page_tells_what_is_kept_before_a_name(leader: Leader, guest_phone: PhoneOpener) -> None:
    leader.set_table(3)
    page = guest_phone()
    page.goto("/#/guest")
    page.get_by_label("Code").fill(leader.invitation["code"].lower())
    tap(page.get_by_role("button", name="Find the table"))
    main = page.get_by_role("main")
    expect(main).to_contain_text("Greta has invited you. There are 3 glasses to taste")
    expect(main).to_contain_text("Only your first name and your answers go to Greta")
    expect(main).to_contain_text("everyone at the table sees whose they are")
    expect(main).to_contain_text("Deleted after 30 days.")
    # Who could not join does not sit at a table that has ended.
    page.context.set_offline(True)
    page.get_by_label("Your first name").fill("Ada")
    tap(page.get_by_role("button", name="Join the table"))
    expect(page.get_by_role("alert")).to_contain_text("The table can’t be reached")
    page.context.set_offline(False)
    page.evaluate("(table) => { location.hash = `/guest/${table}`; }", leader.table)
    expect(main).to_contain_text("This phone isn’t at this table")
    assert leader.rows("guest") == []


def test_unknown_code_is_told_plainly(leader: Leader, guest_phone: PhoneOpener) -> None:
    leader.set_table()
    page = guest_phone()
    page.goto("/#/guest/ZZZZZZ")
    expect(page.get_by_role("alert")).to_contain_text("no open table for this code")


@pytest.mark.extended
def test_guest_needs_no_secure_context(leader: Leader, guest_phone: PhoneOpener) -> None:
    page = guest_at(leader, guest_phone, "verdict", INSECURE)
    rate(page, "How much do you like it?", 2)
    wait_until(page, lambda: liking_of(leader) == [7], "the liking in the leader's book")


def test_closed_step_keeps_what_was_noted_before(leader: Leader, guest_phone: PhoneOpener) -> None:
    page = guest_at(leader, guest_phone, "sip_1")
    page.context.set_offline(True)
    rate(page, "Acidity", 1)
    expect(page.get_by_text("1 answer only on this phone")).to_be_visible()
    leader.close_step(0, "sip_1")
    rate(page, "Acidity", 4)
    page.context.set_offline(False)
    expect(page.get_by_text("1 answer noted later doesn’t count for the table")).to_be_visible()
    expect(page.get_by_role("slider", name="Acidity")).to_have_attribute("aria-valuenow", "5.5")
    assert [sheet["acidity"] for sheet in leader.rows("sheet")] == [5.5]


def test_guest_without_signal_goes_on_alone(leader: Leader, guest_phone: PhoneOpener) -> None:
    page = guest_at(leader, guest_phone, "first_nose")
    page.context.set_offline(True)
    tap(page.get_by_role("button", name="Next: "))
    while page.get_by_role("heading", level=2).first.inner_text() != "First sip":
        tap(page.get_by_role("button", name="Next: "))
    expect(page.get_by_text("take the steps at your own pace")).to_be_visible()
    rate(page, "Acidity", 3)
    page.context.set_offline(False)
    # The step that the guest is at stays.
    expect(page.get_by_text("all sent")).to_be_visible()
    expect(page.get_by_role("slider", name="Acidity")).to_have_attribute("aria-valuenow", "6.5")
    wait_until(page, lambda: [one["acidity"] for one in leader.rows("sheet")] == [6.5], "acidity")


def test_killed_tab_loses_nothing(leader: Leader, guest_phone: PhoneOpener) -> None:
    page = guest_at(leader, guest_phone, "verdict")
    page.context.set_offline(True)
    rate(page, "How much do you like it?", 3)
    page.close()
    page = page.context.new_page()
    page.context.set_offline(False)
    page.goto(leader.invitation["path"])
    expect(page.get_by_role("slider", name="How much")).to_have_attribute("aria-valuenow", "8")
    wait_until(page, lambda: liking_of(leader) == [8], "the liking in the leader's book")
    assert len(leader.rows("guest")) == 1


def test_killed_server_loses_nothing(
    leader: Leader, guest_phone: PhoneOpener, live_server: LiveServer
) -> None:
    page = guest_at(leader, guest_phone, "verdict")
    live_server.kill()
    rate(page, "How much do you like it?", 1)
    expect(page.get_by_text("only on this phone")).to_be_visible()
    live_server.start()
    expect(page.get_by_text("all sent")).to_be_visible()
    assert liking_of(leader) == [6]


def test_covered_label_and_answers_reach_no_guest(leader: Leader, guest_phone: PhoneOpener) -> None:
    leader.set_table()
    page, other = guest_phone(), guest_phone()
    bodies = api_bodies(page)
    at_step(leader, page, "verdict")
    at_step(leader, other, "verdict", "Benedetta")
    rate(other, "How much do you like it?", 3)
    wait_until(page, lambda: liking_of(leader) == [8], "the other guest's answer")
    leader.open_step(1, "look")
    expect(page.locator("[data-step=look]")).to_be_visible()
    read = " ".join(bodies)
    secrets = [str(value) for wine in WINES for value in wine.values()]
    assert [word for word in [*secrets, "Benedetta", '"liking"'] if word in read] == []
    leader.show_answers(0)
    leader.reveal(0)
    tap(page.get_by_role("button", name="Glass A"))
    expect(page.get_by_role("heading", name="Torre Quarzo 2019")).to_be_visible()
    expect(page.get_by_role("main")).to_contain_text("Benedetta")
    assert "Clos Verrin" not in " ".join(bodies)


def test_notes_go_into_the_own_book_once(leader: Leader, guest_phone: PhoneOpener) -> None:
    page = guest_at(leader, guest_phone, "verdict")
    rate(page, "How much do you like it?", 3)
    leader.open_step(1, "verdict")
    expect(page.get_by_role("heading", name="Glass B")).to_be_visible()
    rate(page, "How much do you like it?", 1)
    expect(page.get_by_text("all sent")).to_be_visible()
    leader.reveal(0)
    leader.end()
    expect(page.get_by_text("1 glass is still covered")).to_be_visible()
    tap(page.get_by_role("button", name="Keep 1 wine"))
    expect(page.get_by_role("button", name="Keep 1 wine")).to_be_hidden()
    leader.reveal(1)
    tap(page.get_by_role("button", name="Keep 1 wine"))
    expect(page.get_by_role("button", name="Keep 1 wine")).to_be_hidden()
    found = page.evaluate(OWN_BOOK)
    assert sorted(found["bottles"]) == ["Clos Verrin", "Torre Quarzo"]
    assert sorted(found["tastings"]) == [[6, "B"], [8, "A"]]
    assert found["visits"] == ["Monday table"]


def test_notes_are_saved_as_a_file(leader: Leader, guest_phone: PhoneOpener) -> None:
    page = guest_at(leader, guest_phone, "verdict")
    rate(page, "How much do you like it?", 3)
    leader.end()
    with page.expect_download() as download:
        tap(page.get_by_role("button", name="Save as text"))
    text = download.value.path().read_text(encoding="utf-8")
    head, rest = text.split("\n\n", 1)
    assert re.fullmatch(r"Monday table\n\d+ \w+ \d{4} · hosted by Greta", head)
    assert rest == "Glass A\nHow much do you like it?: 8 (like very much)"


def test_guest_tastes_without_waiting_for_others(leader: Leader, guest_phone: PhoneOpener) -> None:
    leader.set_table(0, pace="free", steps=["first_nose", "verdict"])
    page = guest_phone()
    join(page, leader.invitation["path"], "Ada")
    expect(page.get_by_text("you can start, at your own pace")).to_be_visible()
    leader.save(*table_records()[1:])
    tap(likely_aromas(page).get_by_role("button").first)
    tap(page.get_by_role("button", name="Next: Verdict"))
    rate(page, "How much do you like it?", 3)
    tap(page.get_by_role("button", name="Next glass"))
    expect(page.get_by_role("heading", name="Glass B")).to_be_visible()
    page.reload()
    expect(page.get_by_role("heading", name="Glass B")).to_be_visible()
    wait_until(page, lambda: liking_of(leader) == [8], "the liking in the leader's book")


@pytest.mark.service_worker
def test_codes_carry_the_table_and_the_answers(
    leader_phone: LeaderPhone, guest_phone: PhoneOpener, live_server: LiveServer
) -> None:
    leader_phone.page.context.add_init_script(f"({CAMERA})()")
    leader_phone.set_table(steps=["verdict"])
    page = guest_phone(CAMERA)
    page.goto("/#/guest/flight")
    page.evaluate("() => navigator.serviceWorker.ready.then(() => undefined)")
    leader_phone.page.goto(f"/#/table/{leader_phone.table}/codes")
    page.reload()
    live_server.kill()
    led_table.show_to_camera(leader_phone.page, page)
    page.get_by_label("Your first name").fill("Quirin")
    tap(page.get_by_role("button", name="Join the table"))
    rate(page, "How much do you like it?", 3)
    tap(page.get_by_role("button", name="Glass A"))
    tap(page.get_by_role("button", name="Show my answers as QR codes"))
    tap(leader_phone.page.get_by_role("button", name="Scan a guest’s answers"))
    led_table.show_to_camera(page, leader_phone.page)
    expect(leader_phone.page.get_by_text("Quirin: 1 glass read.")).to_be_visible()
    assert [guest["entry"] for guest in leader_phone.rows("guest")] == ["qr"]
    assert liking_of(leader_phone) == [8]
    # What is noted after the leader has closed the step does not count.
    leader_phone.close_step(0, "verdict")
    tap(page.get_by_role("button", name="Close"))
    tap(page.get_by_role("button", name=re.compile("^Verdict")))
    rate(page, "How much do you like it?", 4)
    tap(page.get_by_role("button", name="Glass A"))
    tap(page.get_by_role("button", name="Show my answers as QR codes"))
    led_table.show_to_camera(page, leader_phone.page)
    expect(
        leader_phone.page.get_by_text("1 answer was noted after its step was over")
    ).to_be_visible()
    assert liking_of(leader_phone) == [8]
    live_server.start()
