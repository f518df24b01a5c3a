"""Passphrase confirmation, account notices, and a deleted notebook."""

from __future__ import annotations

import contextlib
import re
import sqlite3
from typing import Any

import pytest
from playwright.sync_api import Error, Page, expect

from tests.browser.any_page import items
from tests.browser.conftest import LiveServer
from tests.browser.engines import FLAGS
from tests.browser.store.test_write_journal import FULL
from tests.browser.test_sign_in import (
    NOTE,
    WORDS,
    expect_all_sent,
    expect_signed_in,
    notes,
    open_settings,
    sign_in,
)
from tests.browser.waiting import wait_until


def expect_no_notes(page: Page) -> None:
    """Expect an empty notebook; the page may still be loading anew after the erasure."""

    def is_empty() -> bool:
        with contextlib.suppress(Error):
            return notes(page) == []
        return False

    wait_until(page, is_empty, "an empty notebook")


NOTE_AS_GUEST = """() => new Promise((done, failed) => {
  localStorage.setItem('secondnose_guest.unwritten.1', '[]');
  const opening = indexedDB.open('secondnose_guest');
  opening.onerror = failed;
  opening.onsuccess = () => { opening.result.close(); done(); };
})"""


@pytest.fixture
def owned(live_server: LiveServer) -> LiveServer:
    live_server.add_owner("anna", WORDS["anna"])
    live_server.add_owner("bruno", WORDS["bruno"])
    return live_server


def let_time_pass(server: LiveServer) -> None:
    connection = sqlite3.connect(server.file, timeout=30)
    with connection:
        connection.execute("UPDATE sign_in SET confirmed_at = 1")
    connection.close()


def signed_in(phone: Any, name: str = "anna") -> Page:
    page = open_settings(phone())
    sign_in(page, name)
    expect_signed_in(page, name)
    return page


def sign_out(page: Page) -> None:
    page.get_by_role("button", name="Sign out on this phone").click()
    expect(page.get_by_text("You’re not signed in")).to_be_visible()


def erase_here(page: Page) -> None:
    page.get_by_text("Erase the notes on this phone").click()
    page.get_by_label("To confirm, type this word: erase").fill("erase")
    page.get_by_role("button", name="Erase for good").click()
    expect(page.get_by_text("The notes are erased from this phone.")).to_be_visible()


def show_again(page: Page, words: str) -> None:
    form = page.get_by_role("form", name="Continue")
    expect(form).to_be_visible()
    form.get_by_label("Your passphrase").fill(words)
    form.get_by_role("button", name="Continue").click()


def test_export_and_pairing_confirm_the_passphrase(owned: LiveServer, phone: Any) -> None:
    owned.start(SECONDNOSE_ADDRESS=f"http://book.localhost:{owned.port}")
    page = signed_in(phone)
    let_time_pass(owned)
    page.get_by_role("button", name="Save a copy").first.click()
    show_again(page, "not the right words")
    expect(page.get_by_text("not the current passphrase")).to_be_visible()
    with page.expect_download() as downloaded:
        show_again(page, WORDS["anna"])
    assert re.fullmatch(r"second-nose-[\d-]+\.zip", downloaded.value.suggested_filename)
    let_time_pass(owned)
    page.get_by_role("button", name="Add a phone").click()
    expect(page.get_by_role("button", name="Add a phone")).to_have_count(0)
    page.get_by_role("button", name="Not now").click()
    expect(page.get_by_text("Nothing was changed.")).to_be_visible()
    page.get_by_role("button", name="Make a new code").click()
    show_again(page, WORDS["anna"])
    image = page.get_by_alt_text("Code to scan with the phone’s camera")
    expect(image).to_be_visible()


@pytest.mark.extended
def test_allowed_phone_that_never_comes_is_reported(owned: LiveServer, phone: Any) -> None:
    owned.start(SECONDNOSE_ADDRESS=f"http://book.localhost:{owned.port}")
    first, other = signed_in(phone), phone()
    with first.expect_response("**/api/pairings") as answered:
        first.get_by_role("button", name="Add a phone").click()
    second = other.new_page()
    second.goto(answered.value.json()["url"])
    second.get_by_label("Name of this phone").fill("the new phone")
    second.get_by_role("button", name="Ask to be added").click()
    expect(second.get_by_role("status").filter(has_text=re.compile(r"^\d{4}$"))).to_be_visible()
    other.close()
    first.get_by_role("button", name="Same number: add it").click()
    expect(first.get_by_text("the new phone is being added.")).to_be_visible()
    connection = sqlite3.connect(owned.file, timeout=30)
    with connection:
        connection.execute("UPDATE pairing SET until = 1")
    connection.close()
    expect(first.get_by_text("already used or is too old")).to_be_visible()
    expect(items(first, "Signed-in devices")).to_have_count(1)


def test_new_device_is_announced_on_the_phone(owned: LiveServer, phone: Any) -> None:
    page = signed_in(phone)
    signed_in(phone)
    page.reload()
    notice = page.get_by_role("alert").filter(has_text="signed in to your notes on")
    expect(notice).to_be_visible()
    notice.get_by_role("link", name="See the devices").click()
    expect(page.get_by_role("heading", name="Signed-in devices")).to_be_in_viewport()
    notice.get_by_role("button", name="OK", exact=True).click()
    expect(notice).to_have_count(0)
    with page.expect_response("**/api/news") as answered:
        page.reload()
    assert answered.value.json() == {"news": []}


def test_erased_notebook_is_reported_on_other_phones(owned: LiveServer, phone: Any) -> None:
    page, other, stranger = signed_in(phone), signed_in(phone), signed_in(phone, "bruno")
    page.evaluate(NOTE, "plums in a cold cellar")
    stranger.evaluate(NOTE, "bruno's own")
    for one in (page, stranger):
        expect_all_sent(one)
    other.reload()
    expect(other.get_by_text(re.compile("1 note$"))).to_be_visible()
    page.get_by_text("Erase all my notes").click()
    do = page.get_by_role("button", name="Erase for good")
    expect(do).to_be_disabled()
    page.get_by_label("Your passphrase").fill("not the right words")
    page.get_by_label("To confirm, type this word: erase").fill("Erase")
    do.click()
    expect(page.get_by_text("not the current passphrase")).to_be_visible()
    assert notes(page) == ["plums in a cold cellar"]
    page.evaluate(NOTE_AS_GUEST)
    page.get_by_label("Your passphrase").fill(WORDS["anna"])
    do.click()
    expect(page.get_by_text("Your notes are erased.")).to_be_visible()
    expect_no_notes(page)
    kept = page.evaluate("Object.entries(localStorage).flat().join(' ')")
    assert "plums" not in kept
    assert "guest" not in kept
    databases = page.evaluate("indexedDB.databases().then((all) => all.map((one) => one.name))")
    assert "secondnose_guest" not in databases

    other.evaluate(NOTE, "not sent before that")
    expect(other.get_by_text("erased from your backup by another device")).to_be_visible()
    assert notes(other) == ["not sent before that", "plums in a cold cellar"]
    erase_here(other)
    expect_no_notes(other)

    stranger.reload()
    expect_signed_in(stranger, "bruno")
    assert notes(stranger) == ["bruno's own"]


def anna_after_bruno(phone: Any) -> Page:
    """Return a phone on which anna is signed in, with a note of bruno that was not sent."""
    page = signed_in(phone, "bruno")
    sign_out(page)
    page.evaluate(NOTE, "bruno's, not sent")
    sign_in(page, "anna")
    expect_signed_in(page, "anna")
    return page


def test_erasing_here_leaves_the_notes_of_others(owned: LiveServer, phone: Any) -> None:
    page = anna_after_bruno(phone)
    page.evaluate(NOTE, "anna's own")
    sign_out(page)
    tab = page.context.new_page()
    tab.goto("/#/book")
    note = tab.get_by_role("link", name="Unnamed wine")
    expect(note).to_be_visible()

    erase_here(page)
    expect(note).to_have_count(0)
    for one in (page, tab):
        expect_no_notes(one)

    page.evaluate(NOTE, "bruno's, before the sign-in")
    sign_in(page, "bruno")
    expect_signed_in(page, "bruno")
    expect_all_sent(page)
    assert notes(page) == ["bruno's, before the sign-in", "bruno's, not sent"]


@pytest.mark.extended
def test_erasing_opens_the_notes_of_the_signed_in(owned: LiveServer, phone: Any) -> None:
    page = signed_in(phone)
    sign_out(page)
    page.evaluate(NOTE, "anna's, not sent")
    sign_in(page, "bruno")
    expect_signed_in(page, "bruno")
    tab = open_settings(page.context)
    sign_out(tab)
    sign_in(tab, "anna")
    expect_signed_in(tab, "anna")
    page.evaluate(NOTE, "bruno's, not sent")
    expect(page.get_by_text("anna is signed in on this phone")).to_be_visible()
    erase_here(page)
    expect_signed_in(page, "anna")
    assert notes(page) == ["anna's, not sent"]


@pytest.mark.extended
def test_full_phone_joins_the_notes_once_it_has_room(owned: LiveServer, phone: Any) -> None:
    page = anna_after_bruno(phone)
    sign_out(page)
    page.add_init_script(FULL)
    erase_here(page)
    page.evaluate(NOTE, "before the sign-in")
    page.evaluate("sessionStorage.setItem('full', 'yes')")
    sign_in(page, "bruno")
    full = page.get_by_text("Nothing is lost: all notes are still here.")
    expect(full).to_be_visible()
    assert notes(page) == ["before the sign-in"]

    # The page was closed: what is open is not bound to bruno beside his own.
    page.reload()
    join = page.get_by_role("button", name="Bring my notes together")
    expect(join).to_be_visible()
    expect(page.get_by_text("Other people’s notes")).to_have_count(0)
    page.goto("/#/book")
    page.get_by_role("link", name="bring notes together").click()
    join.click()
    expect(full).to_be_visible()
    page.evaluate("sessionStorage.removeItem('full')")
    join.click()
    expect_signed_in(page, "bruno")
    expect_all_sent(page)
    assert notes(page) == ["before the sign-in", "bruno's, not sent"]


def test_two_tabs_share_one_browser_key(owned: LiveServer, phone: Any) -> None:
    # A browser of its own, which has a process for each tab.
    context = phone(args=FLAGS)
    first = open_settings(context)
    second = context.new_page()
    second.goto("/#/settings")
    sign_in(first, "anna")
    expect_signed_in(first, "anna")
    second.evaluate(NOTE, "from the other tab")
    expect_all_sent(second)
    keys = {page.evaluate("localStorage.getItem('secondnose.key')") for page in (first, second)}
    assert len(keys) == 1
    assert re.fullmatch("[0-9a-f]{64}", keys.pop())


def test_sign_in_name_is_not_autocorrected(owned: LiveServer, phone: Any) -> None:
    page = open_settings(phone())
    field = page.get_by_label("Name", exact=True)
    items = ("autocapitalize", "autocorrect", "spellcheck")
    assert [field.get_attribute(name) for name in items] == ["none", "off", "false"]
    sign_in(page, "Anna", WORDS["anna"])
    expect_signed_in(page, "anna")
