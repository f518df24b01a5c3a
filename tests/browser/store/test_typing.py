"""Text inputs during a remote edit, and after a browser kill."""

from __future__ import annotations

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.pour_page import kill_browser, open_pour, written

pytestmark = pytest.mark.browser

WORDS = '[data-field="tasting.words"] textarea'
NAME = '[data-field="bottle.name"] input'
# Merges an edit of another phone with a later clock, like a sync.
REMOTE = """async ([words, ahead_ms]) => {
  const { allOf } = await import('/store/queries.js');
  const { applyPage } = await import('/sync/apply_page.js');
  const { transaction } = await import('/store/database.js');
  const [row] = await allOf('tasting');
  const clock = `${String(Date.now() + ahead_ms).padStart(13, '0')}-0000-bbbbbbbb`;
  const change = { kind: 'tasting', id: row.id, deleted: false, deleted_clock: null,
    fields: { words, place: 'from afar' }, clocks: { words: clock, place: clock } };
  await transaction('rw', ['tasting', 'outbox', 'meta'], async (book) => {
    const { last } = await applyPage(book, [change]);
    await book.meta.update('clock', { last });
  });
}"""
STORED = """async () => (await (await import('/store/queries.js')).allOf('tasting'))[0].fields"""
OUTBOX = """async () => (await (await import('/store/database.js')).db.outbox.toArray())
  .filter((row) => row.kind === 'tasting')"""


def test_remote_edit_leaves_the_focused_input_unchanged(phone):
    page = phone().new_page()
    page.route("**/api/sync", lambda route: route.abort())
    open_pour(page)
    page.locator(WORDS).press_sequentially("ripe plu")
    written(page)
    page.evaluate(REMOTE, ["words from afar", 1_000])
    # A field without focus shows the remote edit.
    expect(page.get_by_text("from afar").first).to_be_visible()
    expect(page.locator(WORDS)).to_have_value("ripe plu")
    page.locator(WORDS).press_sequentially("ms")
    written(page)
    assert page.evaluate(STORED)["words"] == "ripe plums"


def test_input_left_after_a_remote_edit_shows_that_edit(phone):
    page = phone().new_page()
    page.route("**/api/sync", lambda route: route.abort())
    open_pour(page)
    page.locator(WORDS).press_sequentially("ripe plums")
    written(page)
    page.evaluate(REMOTE, ["words from afar", 1_000])
    expect(page.get_by_text("from afar").first).to_be_visible()
    expect(page.locator(WORDS)).to_have_value("ripe plums")
    page.locator(NAME).focus()
    expect(page.locator(WORDS)).to_have_value("words from afar")
    written(page)
    assert page.evaluate(STORED)["words"] == "words from afar"


def error_of_words(page: Page) -> Locator:
    return page.locator('[data-field="tasting.words"]').get_by_role("paragraph")


@pytest.mark.parametrize(
    "typed",
    [
        pytest.param("a\0b", id="NUL"),
        pytest.param("x" * 4_001, id="too long", marks=pytest.mark.extended),
        pytest.param("a\ud800b", id="lone surrogate", marks=pytest.mark.extended),
    ],
)
def test_invalid_text_survives_a_browser_kill(phone, tmp_path, typed):
    profile = tmp_path / "profile"
    page = phone(profile).new_page()
    open_pour(page)
    page.evaluate(TYPE, [WORDS, [ord(letter) for letter in typed]])
    expect(error_of_words(page)).to_be_visible()
    text = error_of_words(page).inner_text()
    page.evaluate(KEPT)
    kill_browser(profile)
    page = phone(profile).new_page()
    page.goto("/#/pour")
    expect(error_of_words(page)).to_have_text(text)
    assert page.evaluate(READ, WORDS) == [ord(letter) for letter in typed]
    page.locator(WORDS).fill("plums")
    expect(error_of_words(page)).to_have_count(0)
    written(page)
    assert page.evaluate(STORED)["words"] == "plums"
    page.evaluate(KEPT)
    page.reload()
    expect(page.locator(WORDS)).to_have_value("plums")


# Sends code units, because lone surrogates cannot be passed to the browser as text.
TYPE = """([place, units]) => {
  const line = document.querySelector(place);
  line.focus();
  const { set } = Object.getOwnPropertyDescriptor(HTMLTextAreaElement.prototype, 'value');
  set.call(line, String.fromCharCode(...units));
  line.dispatchEvent(new Event('input', { bubbles: true }));
}"""
READ = """(place) => Array.from(document.querySelector(place).value,
  (letter) => letter.codePointAt(0))"""
# A read transaction waits for the writes before it.
KEPT = """async () => {
  const { transaction } = await import('/store/database.js');
  await transaction('rw', ['meta'], (book) => book.meta.count());
}"""
