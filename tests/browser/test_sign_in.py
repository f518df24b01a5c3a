"""Several owners on one server: sign-in, pairing, revocation, and two owners on a phone."""

from __future__ import annotations

import re
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from tests.browser.any_page import items
from tests.browser.live_server import LiveServer
from tests.browser.waiting import wait_until

WORDS = {"anna": "four dry autumn barrels", "bruno": "seven wet stone steps"}
NOTE = """async (words) => {
  const { save, newId } = await import('/store/write.js');
  await save('tasting', newId(), { words, tasted_at: '2026-05-01T19:00:00+02:00' });
}"""
NOTES = """async () => {
  const { db } = await import('/store/database.js');
  const rows = (await db.tasting.toArray()).filter((row) => !row.gone);
  return rows.map((row) => row.fields.words).sort();
}"""
REPLACE_UNSENT = """async (rows) => {
  const { default: Dexie } = await import('/vendor/dexie.js');
  const book = await new Dexie('secondnose').open();
  const outbox = book.table('outbox');
  const old = await outbox.toArray();
  await outbox.clear();
  await outbox.bulkPut(rows);
  book.close();
  await (await import('/sync/index.js')).syncNow();
  return old;
}"""
UNSENT = """async () => {
  const { db } = await import('/store/database.js');
  return db.outbox.count();
}"""


DEVICES = "Signed-in devices"


@pytest.fixture
def owned(live_server: LiveServer) -> LiveServer:
    """Return a server with two owners, both with a passphrase."""
    for name, words in WORDS.items():
        live_server.add_owner(name, words)
    return live_server


def open_settings(context: BrowserContext) -> Page:
    page = context.new_page()
    page.on("console", lambda message: print("console:", message.text))
    page.on("pageerror", lambda error: print("error:", error))
    page.goto("/#/settings")
    expect(page.get_by_role("heading", name="Signing in")).to_be_visible()
    return page


def sign_in(page: Page, name: str, words: str | None = None) -> None:
    page.get_by_label("Name", exact=True).fill(name)
    page.get_by_label("Passphrase", exact=True).fill(words or WORDS[name])
    page.get_by_role("button", name="Sign in", exact=True).click()


def expect_signed_in(page: Page, name: str) -> None:
    # The only owner of a server has no name of their own yet.
    who = "" if name == "me" else f" as {name}"
    signed_in = f"You’re signed in{who}, and these notes are yours."
    expect(page.get_by_text(signed_in)).to_be_visible()
    expect(page.get_by_text("These are")).to_have_count(0)


def notes(page: Page) -> list[str]:
    return page.evaluate(NOTES)


def expect_all_sent(page: Page) -> None:
    wait_until(page, lambda: page.evaluate(UNSENT) == 0, "an empty outbox")


def test_offline_notes_sync_after_sign_in(owned: LiveServer, phone: Any) -> None:
    page = open_settings(phone())
    expect(page.get_by_text("You’re not signed in, and you don’t have to be")).to_be_visible()
    page.evaluate(NOTE, "plums in a cold cellar")
    sign_in(page, "anna", "not the right words")
    expect(page.get_by_text("Wrong name or passphrase.")).to_be_visible()
    sign_in(page, "anna")
    expect_signed_in(page, "anna")
    expect_all_sent(page)
    # The list of devices was read before the first backup.
    expect(items(page, DEVICES)).to_contain_text("Last backed up")
    other = open_settings(phone())
    sign_in(other, "anna")
    expect_signed_in(other, "anna")
    expect(items(other, DEVICES)).to_have_count(2)
    expect(other.get_by_text("1 note")).to_be_visible()
    assert notes(other) == ["plums in a cold cellar"]

    other.evaluate("location.hash = '#/book'")
    expect(other.get_by_role("heading", name="Book", exact=True)).to_be_visible()
    other.context.set_offline(True)
    other.evaluate("location.hash = '#/settings'")
    expect(other.get_by_text("you can’t sign in or out right now")).to_be_visible()
    other.context.set_offline(False)
    expect_signed_in(other, "anna")


def test_two_owners_on_one_phone_are_separate(owned: LiveServer, phone: Any) -> None:
    page = open_settings(phone())
    page.evaluate(NOTE, "anna's first")
    sign_in(page, "anna")
    expect_signed_in(page, "anna")
    expect_all_sent(page)
    page.get_by_role("button", name="Sign out on this phone").click()
    expect(page.get_by_text("You’re not signed in")).to_be_visible()
    page.evaluate(NOTE, "anna's second, not sent")

    sign_in(page, "bruno")
    expect_signed_in(page, "bruno")
    expect(page.get_by_text("anna’s notes")).to_be_visible()
    expect(page.get_by_text("not backed up yet: 1 note")).to_be_visible()
    assert notes(page) == []
    # Another tab with anna's notes sends them, and writes them again.
    waiting = page.evaluate(REPLACE_UNSENT, [])
    expect(page.get_by_text("all backed up")).to_be_visible()
    page.evaluate(REPLACE_UNSENT, waiting)
    page.evaluate(NOTE, "bruno's own")
    expect_all_sent(page)

    page.get_by_role("button", name="Sign out on this phone").click()
    expect(page.get_by_text("You’re not signed in")).to_be_visible()
    sign_in(page, "anna")
    expect_signed_in(page, "anna")
    expect(page.get_by_text("bruno’s notes")).to_be_visible()
    expect_all_sent(page)
    assert notes(page) == ["anna's first", "anna's second, not sent"]
    for name, wanted in (
        ("anna", ["anna's first", "anna's second, not sent"]),
        ("bruno", ["bruno's own"]),
    ):
        fresh = open_settings(phone())
        sign_in(fresh, name)
        expect_signed_in(fresh, name)
        expect(fresh.get_by_text(re.compile(f"{len(wanted)} notes?$"))).to_be_visible()
        assert notes(fresh) == wanted


def test_page_of_another_owner_sends_nothing(owned: LiveServer, phone: Any) -> None:
    context = phone()
    page = open_settings(context)
    sign_in(page, "anna")
    expect_signed_in(page, "anna")
    # Another owner signs in without this page, as from another tab.
    values = {"name": "bruno", "passphrase": WORDS["bruno"]}
    key = page.evaluate("localStorage.getItem('secondnose.key')")
    shown = {"Sec-Fetch-Site": "same-origin", "Second-Nose-Key": key}
    answer = context.request.post("/api/sign-in", data=values, headers=shown)
    assert answer.ok
    page.evaluate(NOTE, "anna's, after all")
    expect(page.get_by_text("None of them go into bruno’s backup.")).to_be_visible()
    assert page.evaluate(UNSENT) == 1
    page.get_by_role("button", name="Open bruno’s notes").click()
    expect_signed_in(page, "bruno")
    assert notes(page) == []


def test_revoked_phone_keeps_unsent_notes_and_says_so(owned: LiveServer, phone: Any) -> None:
    lost, kept = open_settings(phone()), open_settings(phone())
    for page in (lost, kept):
        sign_in(page, "anna")
        expect_signed_in(page, "anna")
    kept.reload()
    items(kept, DEVICES).get_by_role("button").click()
    expect(kept.get_by_text("That device is signed out.")).to_be_visible()
    lost.evaluate(NOTE, "only on this phone")
    expect(lost.get_by_text("This phone was signed out from another device.")).to_be_visible()
    assert notes(lost) == ["only on this phone"]
    assert lost.evaluate(UNSENT) == 1
    sign_in(lost, "anna")
    expect_signed_in(lost, "anna")
    expect_all_sent(lost)


def test_phone_is_paired_by_code_and_comparison_number(owned: LiveServer, phone: Any) -> None:
    owned.start(SECONDNOSE_ADDRESS=f"http://book.localhost:{owned.port}")
    first = open_settings(phone())
    sign_in(first, "anna")
    expect_signed_in(first, "anna")
    with first.expect_response("**/api/pairings") as answered:
        first.get_by_role("button", name="Add a phone").click()
    image = first.get_by_alt_text("Code to scan with the phone’s camera")
    expect(image).to_be_visible()
    assert image.evaluate("image => image.decode().then(() => image.naturalWidth)") > 100
    url = answered.value.json()["url"]
    second = phone().new_page()
    second.goto(url)
    second.get_by_label("Name of this phone").fill("the new phone")
    second.get_by_role("button", name="Ask to be added").click()
    number = second.get_by_role("status").filter(has_text=re.compile(r"^\d{4}$"))
    expect(number).to_have_text(re.compile(r"^\d{4}$"))
    assert second.url.endswith("#/settings/join")
    expect(first.get_by_text(f"Does it show the number {number.text_content()}?")).to_be_visible()
    first.get_by_role("button", name="Same number: add it").click()
    expect_signed_in(second, "anna")
    # The list updates without a reload.
    expect(first.get_by_text("the new phone is signed in.")).to_be_visible()
    devices = items(first, DEVICES)
    expect(devices.filter(has_text="the new phone")).to_be_visible()
    expect(devices).to_have_count(2)
    expect(first.get_by_role("button", name="Add a phone")).to_be_visible()

    late = phone().new_page()
    late.goto(url)
    late.get_by_role("button", name="Ask to be added").click()
    expect(late.get_by_text("already used or is too old")).to_be_visible()


def test_no_pairing_code_at_an_address_of_this_machine(live_server: LiveServer, phone: Any) -> None:
    page = open_settings(phone())
    with page.expect_response("**/api/pairings") as answered:
        page.get_by_role("button", name="Add a phone").click()
    expect(page.get_by_text("can’t open this page at its current address")).to_be_visible()
    expect(page.get_by_alt_text("Code to scan with the phone’s camera")).to_have_count(0)
    offer = answered.value.json()["id"]
    gone = "async (id) => (await fetch(`/api/pairings/${id}`)).status"
    wait_until(page, lambda: page.evaluate(gone, offer) == 404, "the end of the offer")


def test_single_owner_needs_no_local_passphrase(live_server: LiveServer, phone: Any) -> None:
    page = open_settings(phone())
    expect(page.get_by_text("your notes open without a passphrase")).to_be_visible()
    page.evaluate(NOTE, "at home")
    expect_all_sent(page)
    expect(page.get_by_label("Passphrase", exact=True)).to_have_count(0)


@pytest.mark.extended
def test_first_passphrase_is_set_on_the_page(live_server: LiveServer, phone: Any) -> None:
    page, other = open_settings(phone()), open_settings(phone())
    page.get_by_text("Set a passphrase").click()
    page.get_by_label("New passphrase").fill("too short")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.get_by_text("Please use at least 12 characters")).to_be_visible()
    page.get_by_label("New passphrase").fill(WORDS["anna"])
    page.get_by_role("button", name="Save", exact=True).click()
    expect_signed_in(page, "me")
    other.reload()
    sign_in(other, "me", WORDS["anna"])
    expect_signed_in(other, "me")


@pytest.mark.extended
def test_passphrase_change_needs_the_current_one(owned: LiveServer, phone: Any) -> None:
    page, other = open_settings(phone()), open_settings(phone())
    for one in (page, other):
        sign_in(one, "anna")
        expect_signed_in(one, "anna")
    page.get_by_text("Change the passphrase").click()
    page.get_by_label("Current passphrase").fill("not the right words")
    page.get_by_label("New passphrase").fill("nine loud copper kettles")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.get_by_text("not the current passphrase")).to_be_visible()
    page.get_by_label("Current passphrase").fill(WORDS["anna"])
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.get_by_text("Passphrase saved.")).to_be_visible()
    expect_signed_in(page, "anna")
    other.evaluate(NOTE, "not sent before that")
    expect(
        other.get_by_text("The passphrase was changed, so this phone was signed out")
    ).to_be_visible()
    assert notes(other) == ["not sent before that"]
    sign_in(other, "anna", "nine loud copper kettles")
    expect_signed_in(other, "anna")
    expect_all_sent(other)


@pytest.mark.service_worker
def test_user_text_is_never_executed_as_markup(live_server: LiveServer, phone: Any) -> None:
    page = open_settings(phone())
    for sink in (
        "document.body.innerHTML = '<p>plums</p>'",
        "document.createElement('script').src = '/app.js'",
        "trustedTypes.createPolicy('another', {})",
        "navigator.serviceWorker.register('/service_worker.js')",
    ):
        refused = page.evaluate(
            f"async () => {{ try {{ await ({sink}); return ''; }}"
            " catch (error) { return error.name; } }"
        )
        assert refused == "TypeError", sink
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
