"""Pairing that is interrupted: a reload, another screen, and a cancellation on either device."""

from __future__ import annotations

import re
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Route, expect

from tests.browser.conftest import LiveServer
from tests.browser.test_sign_in import WORDS, expect_signed_in, open_settings, sign_in
from tests.browser.waiting import wait_until

pytestmark = pytest.mark.browser


@pytest.fixture
def owned(live_server: LiveServer) -> LiveServer:
    for name, words in WORDS.items():
        live_server.add_owner(name, words)
    return live_server


def test_pairing_goes_on_after_a_detour_until_cancelled(owned: LiveServer, phone: Any) -> None:
    address = f"http://book.localhost:{owned.port}"
    owned.start(SECONDNOSE_ADDRESS=address)
    first, second = open_settings(phone()), phone().new_page()
    second.goto(f"{address}/#/settings")
    for page, name in ((first, "anna"), (second, "bruno")):
        sign_in(page, name)
        expect_signed_in(page, name)
    for canceller, told in ((first, second), (second, first)):
        with first.expect_response("**/api/pairings") as answered:
            first.get_by_role("button", name=re.compile("Add a phone|Make a new code")).click()
        second.goto("about:blank")
        second.goto(answered.value.json()["url"])
        expect(second.get_by_text("bruno’s notes stay on this phone")).to_be_visible()
        second.get_by_role("button", name="Ask to be added").click()
        number = second.get_by_role("status").filter(has_text=re.compile(r"^\d{4}$"))
        code = number.text_content()
        second.reload()
        expect(number).to_have_text(str(code))
        first.reload()
        expect(first.get_by_text(f"Does it show the number {code}?")).to_be_visible()
        first.evaluate("location.hash = '#/book'")
        expect(first.get_by_role("heading", name="Book", exact=True)).to_be_visible()
        first.evaluate("location.hash = '#/settings'")
        expect(first.get_by_text(f"Does it show the number {code}?")).to_be_visible()
        canceller.get_by_role("button", name="Cancel", exact=True).click()
        expect(told.get_by_text("The other device has cancelled.")).to_be_visible()
        expect(number).to_have_count(0)
        if told is second:
            second.get_by_role("link", name="Back to Settings").click()
        expect_signed_in(second, "bruno")


def test_phone_signed_in_late_opens_no_other_page(served: BrowserContext) -> None:
    page = served.new_page()
    held: list[Route] = []
    claim = {"code": "1234", "claim": "a" * 32}
    page.route("**/api/pairings/claim", lambda route: route.fulfill(json=claim))
    page.route("**/api/pairings/finish", lambda route: held.append(route))
    page.goto("/#/settings/join/secret")
    page.get_by_role("button", name="Ask to be added").click()
    wait_until(page, lambda: held, "the question whether it is signed in")
    page.goto("/#/pour")
    owner = page.evaluate("async () => (await fetch('/api/me')).json()")
    held[0].fulfill(json=owner)
    expect(page.get_by_text("This phone is signed in.")).to_be_visible()
    expect(page.get_by_role("heading", level=1)).to_have_text("Pour")
