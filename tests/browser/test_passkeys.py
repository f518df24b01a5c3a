"""Passkeys in the app, with the virtual authenticator of Chromium."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import BrowserContext, CDPSession, Page, expect

from tests.browser.any_page import items
from tests.browser.live_server import LiveServer
from tests.browser.test_account_guard import let_time_pass, show_again
from tests.browser.test_sign_in import (
    NOTE,
    WORDS,
    expect_all_sent,
    expect_signed_in,
    notes,
    open_settings,
    sign_in,
)

PHONE_WITH_PIN = {
    "protocol": "ctap2",
    "transport": "internal",
    "hasResidentKey": True,
    "hasUserVerification": True,
    "isUserVerified": True,
    "automaticPresenceSimulation": True,
}
BY_PASSKEY = "Sign in with a passkey"


class Authenticator:
    """A virtual authenticator of one page."""

    def __init__(self, context: BrowserContext, page: Page) -> None:
        self.session: CDPSession = context.new_cdp_session(page)
        self.session.send("WebAuthn.enable")
        made = self.session.send("WebAuthn.addVirtualAuthenticator", {"options": PHONE_WITH_PIN})
        self.id = {"authenticatorId": made["authenticatorId"]}

    def credentials(self) -> list[dict[str, Any]]:
        found: list[dict[str, Any]] = self.session.send("WebAuthn.getCredentials", self.id)[
            "credentials"
        ]
        return found

    def verifies(self, verified: bool) -> None:
        values = {**self.id, "isUserVerified": verified}
        self.session.send("WebAuthn.setUserVerified", values)


@pytest.fixture
def owned(live_server: LiveServer) -> LiveServer:
    live_server.add_owner("anna", WORDS["anna"])
    return live_server


def opened(owned: LiveServer, phone: Any) -> tuple[Page, Authenticator]:
    """Open a phone at a host name, because passkeys do not work at IP addresses."""
    context = phone(base_url=f"http://localhost:{owned.port}")
    page = open_settings(context)
    return page, Authenticator(context, page)


def add_passkey(page: Page) -> None:
    page.get_by_role("button", name="Add a passkey").click()
    expect(page.get_by_text("Passkey added.")).to_be_visible()
    expect(items(page, "Passkeys")).to_have_count(1)


def sign_out(page: Page) -> None:
    page.get_by_role("button", name="Sign out on this phone").click()
    expect(page.get_by_role("button", name=BY_PASSKEY)).to_be_visible()


def test_passkey_is_added_and_signs_in(owned: LiveServer, phone: Any) -> None:
    page, authenticator = opened(owned, phone)
    sign_in(page, "anna")
    expect_signed_in(page, "anna")
    page.evaluate(NOTE, "plums in a cold cellar")
    expect_all_sent(page)
    let_time_pass(owned)
    page.get_by_role("button", name="Add a passkey").click()
    show_again(page, WORDS["anna"])
    entry = items(page, "Passkeys")
    expect(entry.get_by_text("Not used yet")).to_be_visible()
    (made,) = authenticator.credentials()
    assert (made["rpId"], made["isResidentCredential"]) == ("localhost", True)

    sign_out(page)
    page.evaluate(NOTE, "written while signed out")
    page.get_by_role("button", name=BY_PASSKEY).click()
    expect_signed_in(page, "anna")
    expect_all_sent(page)
    assert notes(page) == ["plums in a cold cellar", "written while signed out"]
    expect(entry.get_by_text("Last used")).to_be_visible()

    other = open_settings(phone())
    sign_in(other, "anna")
    expect(other.get_by_text("2 notes")).to_be_visible()


def test_passkey_is_renamed_and_removed(owned: LiveServer, phone: Any) -> None:
    page, _ = opened(owned, phone)
    sign_in(page, "anna")
    expect_signed_in(page, "anna")
    add_passkey(page)
    entry = items(page, "Passkeys")
    entry.get_by_role("button", name="Rename").click()
    entry.get_by_label("Name of this passkey").fill("the blue key")
    entry.get_by_role("button", name="Save the name").click()
    expect(entry.get_by_text("the blue key", exact=True)).to_be_visible()
    page.get_by_role("button", name="Add a passkey").click()
    already = "This device already has a passkey for your notes."
    expect(page.get_by_text(already)).to_be_visible()

    entry.get_by_role("button", name="Remove: the blue key").click()
    expect(entry).to_have_count(0)
    sign_out(page)
    page.get_by_role("button", name=BY_PASSKEY).click()
    expect(page.get_by_text("This passkey is no longer known.")).to_be_visible()
    sign_in(page, "anna")
    expect_signed_in(page, "anna")


def test_unverified_passkey_is_refused_with_advice(owned: LiveServer, phone: Any) -> None:
    page, authenticator = opened(owned, phone)
    sign_in(page, "anna")
    expect_signed_in(page, "anna")
    add_passkey(page)
    sign_out(page)
    authenticator.verifies(False)
    page.get_by_role("button", name=BY_PASSKEY).click()
    expect(page.get_by_text("No passkey was used.")).to_be_visible()
    authenticator.verifies(True)
    page.get_by_role("button", name=BY_PASSKEY).click()
    expect_signed_in(page, "anna")


@pytest.mark.extended
def test_new_passkey_is_announced_on_other_phones(owned: LiveServer, phone: Any) -> None:
    other = open_settings(phone())
    sign_in(other, "anna")
    expect_signed_in(other, "anna")
    page, _ = opened(owned, phone)
    sign_in(page, "anna")
    expect_signed_in(page, "anna")
    add_passkey(page)
    other.reload()
    notice = other.get_by_role("alert").filter(has_text="A passkey for your notes was added on")
    expect(notice).to_be_visible()


def test_passkeys_are_not_offered_without_https(owned: LiveServer, phone: Any) -> None:
    page = open_settings(phone())
    text = page.get_by_text("Passkeys only work when the app’s address starts with https")
    expect(text).to_be_visible()
    expect(page.get_by_role("button", name=BY_PASSKEY)).to_have_count(0)
    sign_in(page, "anna")
    expect_signed_in(page, "anna")
    expect(page.get_by_role("heading", name="Passkeys")).to_be_visible()
    expect(text).to_be_visible()
    expect(page.get_by_role("button", name="Add a passkey")).to_have_count(0)
