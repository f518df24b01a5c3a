"""Edits on a phone without free space: they survive a restart and are saved later."""

from __future__ import annotations

import json
from contextlib import contextmanager

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import PHONE
from tests.browser.pour_page import open_pour
from tests.browser.store.test_write_journal import FULL, JOURNAL, WRITE_JOURNAL

pytestmark = pytest.mark.browser

TYPED = "blackcurrant, cedar and a long evening " * 6
FILL = """async () => {
  const { newId, saveMany } = await import('/store/write.js');
  const letters = () => Array.from(crypto.getRandomValues(new Uint8Array(1_900)),
    (byte) => String.fromCharCode(97 + byte % 26)).join('');
  // Ever fewer, until there is no room for a single letter.
  for (let count = 64; count >= 1;) {
    const notes = Array.from({ length: count }, () => (
      { kind: 'stock', id: newId(), fields: { note: letters() } }));
    await saveMany(notes).catch(() => { count /= 2; });
  }
}"""
EMPTY = """async () => {
  const { db } = await import('/store/database.js');
  await db.stock.clear();
}"""
REVISIONS = """async (id) => {
  await (await import('/sync/index.js')).syncNow();
  return (await (await import('/store/revisions.js')).fetchRevisions('tasting', id)).revisions;
}"""
WORDS = '[data-field="tasting.words"] textarea'
NOTICE = "The phone is full"


def said_of(driver, id_):
    """Return the current value of `words` and its revisions."""
    assert driver.sync() == "done"
    revisions = driver.run("return (await book.fetchRevisions('tasting', value)).revisions", id_)
    earlier = [one["value"] for one in revisions if one["field"] == "words"]
    return driver.fields("tasting", id_).get("words"), earlier


@pytest.fixture
def without_room(driver):
    """Open a page that cannot replay a journal entry because the phone is full."""
    id_ = driver.save("tasting", {"words": "before"})
    driver.run(
        WRITE_JOURNAL, json.dumps([{"kind": "tasting", "id": id_, "fields": {"words": "laid"}}])
    )
    driver.page.add_init_script(FULL)
    driver.run("sessionStorage.setItem('full', 'yes')")
    driver.open()
    driver.run("sessionStorage.removeItem('full')")
    return id_


@pytest.mark.extended
def test_journal_entry_that_is_stale_becomes_a_revision(driver, without_room):
    driver.save("tasting", {"words": "after"}, without_room)
    driver.open()
    assert driver.run(JOURNAL) == []
    words, earlier = said_of(driver, without_room)
    assert (words, "laid" in earlier) == ("after", True)


@pytest.mark.extended
def test_journal_replay_keeps_edits_of_a_deleted_note(driver, without_room):
    driver.run("await book.remove('tasting', value)", without_room)
    driver.open()
    assert driver.row("tasting", without_room)["gone"] == 1
    words, earlier = said_of(driver, without_room)
    assert "laid" in [words, *earlier]


@pytest.mark.extended
def test_journal_removal_does_not_undo_a_later_edit(driver):
    id_ = driver.save("tasting", {"words": "before"})
    driver.run(WRITE_JOURNAL, json.dumps([{"kind": "tasting", "id": id_, "deleted": True}]))
    driver.page.add_init_script(FULL)
    driver.run("sessionStorage.setItem('full', 'yes')")
    driver.open()
    driver.run("sessionStorage.removeItem('full')")
    driver.save("tasting", {"words": "after"}, id_)
    driver.open()
    assert driver.row("tasting", id_)["gone"] == 0


@pytest.mark.extended
def test_journal_replay_applies_the_later_edit(driver):
    id_ = driver.save("tasting", {"words": "before"})
    driver.page.add_init_script(FULL)
    driver.run("sessionStorage.setItem('full', 'yes')")
    for words in ("first", "second"):
        driver.run(
            WRITE_JOURNAL, json.dumps([{"kind": "tasting", "id": id_, "fields": {"words": words}}])
        )
        driver.open()
    driver.run("sessionStorage.removeItem('full')")
    driver.save("visit", {"name": "Hall 4"})
    driver.open()
    words, earlier = said_of(driver, id_)
    assert (words, "first" in earlier) == ("second", True)


@contextmanager
def quota_of(page, url, size):
    devtools = page.context.new_cdp_session(page)
    devtools.send("Storage.overrideQuotaForOrigin", {"origin": url, "quotaSize": size})
    yield
    devtools.send("Storage.overrideQuotaForOrigin", {"origin": url})


@pytest.mark.extended
def test_edits_on_a_full_phone_survive_a_restart(browser, live_server):
    context = browser.new_context(base_url=live_server.url, **PHONE)
    page = context.new_page()
    with quota_of(page, live_server.url, 1_000_000):
        thumb = open_pour(page)
        thumb.type_into("tasting.words", "plums")
        expect(page.locator(WORDS)).to_have_value("plums")
        page.evaluate("async () => (await import('/domain/pour/autosave_queue.js')).whenIdle()")
        page.evaluate(FILL)
        thumb.type_into("tasting.words", TYPED)
        expect(page.get_by_role("alert")).to_contain_text(NOTICE)
        page.reload()
        expect(page.locator(WORDS)).to_have_value(TYPED)
        expect(page.get_by_role("alert")).to_contain_text(NOTICE)
        page.goto("/#/book")
        expect(page.get_by_text("what you typed last will be saved")).to_be_visible()
        page.goto("/#/pour")
        expect(page.locator(WORDS)).to_have_value(TYPED)
    page.evaluate(EMPTY)
    page.locator(WORDS).fill("something else")
    expect(page.get_by_role("alert")).to_have_count(0)
    keys = page.evaluate("Object.keys(localStorage)")
    assert [key for key in keys if "unwritten" in key] == []
    id_, words = page.evaluate("""async () => {
      const [row] = await (await import('/store/queries.js')).allOf('tasting');
      return [row.id, row.fields.words];
    }""")
    assert words == "something else"
    assert TYPED in [one["value"] for one in page.evaluate(REVISIONS, id_)]
    context.close()
