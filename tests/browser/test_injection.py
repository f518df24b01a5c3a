"""Markup in names and notes, which every screen shows as text."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser.any_page import items
from tests.browser.live_server import LiveServer
from tests.browser.test_sign_in import WORDS, open_settings, sign_in
from tests.browser.waiting import wait_for_idle
from tests.screenshots.screens import Screen

pytestmark = pytest.mark.browser
MARKUP = "<img src=x onerror=alert(1)>"
WRITE = """async (text) => {
  const { save, newId } = await import('/store/write.js');
  const [bottle, visit, tasting] = [newId(), newId(), newId()];
  await save('bottle', bottle, { name: text, producer: text, region: text });
  await save('visit', visit, { name: text, place: text, notes: text });
  await save('tasting', tasting, {
    bottle, visit, words: text, place: text, first_nose_words: ['~' + text],
    tasted_at: '2026-05-01T19:00:00+02:00',
  });
  await save('pick', newId(), { bottle, shop: text, state: 'open' });
  return { bottle, tasting };
}"""
SHOWING = ["#/book", "#/shelf", "#/book/{tasting}", "#/book/bottle/{bottle}"]
PLACES = [
    *SHOWING,
    *("#/pour/{tasting}/note", "#/pour/{tasting}/bottle"),
    *("#/pour/{tasting}/first-nose", "#/pour/{tasting}/verdict"),
]
MADE = """() => [...document.querySelectorAll('img[src="x"], [onerror]')].length"""


def test_markup_in_a_note_is_shown_as_text(live_server: LiveServer, phone: Any) -> None:
    page = phone().new_page()
    opened: list[str] = []
    page.on("dialog", lambda dialog: (opened.append(dialog.message), dialog.dismiss()))
    page.goto("/#/settings")
    ids = page.evaluate(WRITE, MARKUP)
    for place in PLACES:
        Screen(place, place.format(**ids)).open(page)
        wait_for_idle(page)
        if place in SHOWING:
            expect(page.locator("body")).to_contain_text(MARKUP)
        assert page.evaluate(MADE) == 0, place
    assert opened == []


def test_markup_in_a_name_is_shown_as_text(live_server: LiveServer, phone: Any) -> None:
    live_server.add_owner(MARKUP, WORDS["anna"])
    page = open_settings(phone())
    page.get_by_label("Name of this phone").fill(MARKUP)
    sign_in(page, MARKUP, WORDS["anna"])
    expect(page.get_by_text(f"signed in as {MARKUP}, and")).to_be_visible()
    expect(items(page, "Signed-in devices").get_by_text(MARKUP)).to_be_visible()
    assert page.evaluate(MADE) == 0


def test_a_passphrase_can_be_seen_while_it_is_typed(live_server: LiveServer, phone: Any) -> None:
    live_server.add_owner("anna", WORDS["anna"])
    page = open_settings(phone())
    field = page.get_by_label("Passphrase", exact=True)
    field.fill("four dry")
    expect(field).to_have_attribute("type", "password")
    page.get_by_role("button", name="Show what I type").click()
    expect(field).to_have_attribute("type", "text")
    expect(field).to_have_value("four dry")
    page.get_by_role("button", name="Show what I type").click()
    expect(field).to_have_attribute("type", "password")
