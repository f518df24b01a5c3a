"""A table in a living room: guests and leader reach the server over plain http, by its address.

The page is no secure context there, so the browser itself lacks what a test on localhost has:
`crypto.subtle`, the service worker, the camera, persistent storage.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import ExitStack

import pytest
from playwright.sync_api import Playwright, expect

from tests.browser.engines import FLAGS, tap
from tests.browser.guest_phones import COUNT_TAPS, PhoneOpener, note_a_first_word, phone_opener
from tests.browser.led_table import SAVE, LeaderPhone, api_bodies, glass_id, rate, table_records
from tests.browser.live_server import LiveServer
from tests.browser.test_sign_in import WORDS, expect_signed_in, owned, sign_in
from tests.browser.waiting import wait_until
from webapp.commands.serve import host_names

__all__ = ["owned"]

pytestmark = pytest.mark.browser

# Returns the invitation as the leader's own page asks for it.
INVITE = """async (table) =>
  (await (await import('/features/table/invite/invitation.js')).invite(table)).invitation"""
MISSING = """() => ({
  isSecureContext,
  subtle: typeof crypto.subtle,
  randomUUID: typeof crypto.randomUUID,
  serviceWorker: 'serviceWorker' in navigator,
  locks: 'locks' in navigator,
  mediaDevices: 'mediaDevices' in navigator,
})"""
LIKE = "How much do you like it?"


@pytest.fixture
def lan_phone(
    owned: LiveServer, playwright: Playwright, browser_path: str
) -> Iterator[PhoneOpener]:
    """Return a function that opens a phone at the address of a server for the whole network."""
    owned.start("--lan")
    # The address if the machine has one in a network, else the name that a phone would resolve.
    host = host_names("0.0.0.0")[0]
    rules = [] if re.fullmatch(r"[\d.]+", host) else [f"--host-resolver-rules=MAP {host} 127.0.0.1"]
    with ExitStack() as stack:
        browser = playwright.chromium.launch(executable_path=browser_path, args=[*FLAGS, *rules])
        stack.callback(browser.close)

        yield phone_opener(stack, browser, f"http://{host}:{owned.port}")


@pytest.fixture
def leader(lan_phone: PhoneOpener) -> LeaderPhone:
    """Return a leader who has signed in and set a table of two glasses."""
    page = lan_phone()
    page.goto("/#/settings")
    sign_in(page, "anna", WORDS["anna"])
    expect_signed_in(page, "anna")
    leader = LeaderPhone(page)
    page.evaluate(SAVE, table_records(2))
    leader.invitation = page.evaluate(INVITE, leader.table)
    return leader


def test_guest_answers_without_a_secure_context(
    leader: LeaderPhone, lan_phone: PhoneOpener
) -> None:
    leader.open_step(0, "first_nose")
    page = lan_phone(COUNT_TAPS)
    bodies = api_bodies(page)
    page.goto(leader.invitation["path"])
    assert page.evaluate(MISSING) == {
        "isSecureContext": False,
        "subtle": "undefined",
        "randomUUID": "undefined",
        "serviceWorker": False,
        "locks": False,
        "mediaDevices": False,
    }
    note_a_first_word(leader, page)
    leader.close_step(0, "first_nose")
    leader.open_step(0, "verdict")
    rate(page, LIKE, 3)
    wait_until(page, lambda: leader.rows("sheet")[0].get("liking") == 8, "the liking")
    # The answers outlive a reload: they are in the phone's own database.
    page.reload()
    expect(page.get_by_role("slider", name=LIKE)).to_have_attribute("aria-valuenow", "8")
    assert "Torre Quarzo" not in " ".join(bodies)
    leader.show_answers(0)
    leader.reveal(0)
    expect(page.get_by_role("heading", name="Torre Quarzo 2019")).to_be_visible()


def test_guest_joins_by_code_and_comes_back(leader: LeaderPhone, lan_phone: PhoneOpener) -> None:
    leader.open_step(1, "verdict")
    page = lan_phone()
    page.goto("/#/guest")
    page.get_by_label("Code").fill(leader.invitation["code"])
    tap(page.get_by_role("button", name="Find the table"))
    page.get_by_label("Your first name").fill("Ben")
    tap(page.get_by_role("button", name="Join the table"))
    expect(page.get_by_role("slider", name=LIKE)).to_be_visible()
    page.context.set_offline(True)
    rate(page, LIKE, 2)
    # No service worker could open the page again.
    expect(page.get_by_text("Don’t reload this page until you’re back online.")).to_be_visible()
    page.context.set_offline(False)
    wait_until(page, lambda: leader.rows("sheet"), "the answer that was noted offline")
    [sheet] = leader.rows("sheet")
    assert (sheet["liking"], sheet["glass"]) == (7, glass_id(1))
    page.reload()
    expect(page.get_by_role("slider", name=LIKE)).to_have_attribute("aria-valuenow", "7")
    assert [guest["name"] for guest in leader.rows("guest")] == ["Ben"]


def test_leader_invites_by_the_address_of_the_page(leader: LeaderPhone) -> None:
    page = leader.page
    page.goto(f"/#/table/{leader.table}/invite")
    expect(page.get_by_role("img", name="QR code of the invitation")).to_be_visible()
    host = re.sub(r"^https?://", "", page.evaluate("location.origin"))
    expect(page.get_by_text(f"{host}/t")).to_be_visible()
    expect(page.get_by_text("works on this device only")).to_have_count(0)
