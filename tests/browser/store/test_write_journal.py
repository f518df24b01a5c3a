"""The write journal: edits of a page closed during a write are replayed at the next start."""

from __future__ import annotations

import json

import pytest

from tests.browser.seed_records import HOLD_UP, LET_GO

pytestmark = pytest.mark.browser

JOURNAL = """return Object.entries(localStorage)
  .filter(([key]) => key.startsWith('secondnose.unwritten.')).map(([, words]) => words)"""
WRITE_JOURNAL = "localStorage.setItem(`secondnose.unwritten.${book.newId()}`, value)"
FULL = """
const put = IDBObjectStore.prototype.put;
IDBObjectStore.prototype.put = function (...args) {
  if (sessionStorage.getItem('full')) throw new DOMException('no room', 'QuotaExceededError');
  return put.apply(this, args);
};"""


def test_pending_write_is_replayed_after_a_reload(driver):
    kept = driver.save("tasting", {"liking": 4})
    gone = driver.save("bottle", {"name": "Poured away"})
    driver.page.evaluate(HOLD_UP)
    driver.run(
        """book.save('tasting', value[0], { liking: 7, words: 'plums' });
           book.remove('bottle', value[1]);""",
        [kept, gone],
    )
    driver.open()
    assert driver.fields("tasting", kept) == {"liking": 7, "words": "plums"}
    assert driver.row("bottle", gone)["deleted"] is True
    assert {row["id"] for row in driver.outbox()} == {kept, gone}
    assert driver.run(JOURNAL) == []


@pytest.mark.extended
@pytest.mark.several_tabs
def test_journal_of_a_closed_page_is_replayed_by_the_next(open_book):
    one = open_book()
    other = open_book(one.context)
    id_ = one.save("tasting", {"liking": 4})
    for page, fields in ((one, {"liking": 7}), (other, {"words": "plums"})):
        page.page.evaluate(HOLD_UP)
        page.run("book.save('tasting', value[0], value[1])", [id_, fields])
    for page in (one, other):
        page.page.close(run_before_unload=True)
    again = open_book(one.context)
    assert again.fields("tasting", id_) == {"liking": 7, "words": "plums"}
    assert again.run(JOURNAL) == []


@pytest.mark.extended
def test_hidden_page_that_commits_clears_its_journal(driver):
    driver.page.evaluate(HOLD_UP)
    driver.run("globalThis.saving = book.save('tasting', book.newId(), { liking: 7 })")
    driver.run("document.dispatchEvent(new Event('visibilitychange'))")
    [laid] = driver.run(JOURNAL)
    assert json.loads(laid)[0]["fields"] == {"liking": 7}
    driver.page.evaluate(LET_GO)
    driver.run("await saving")
    assert driver.run(JOURNAL) == []
    assert driver.count("tasting") == 1


@pytest.mark.extended
@pytest.mark.parametrize(
    "laid",
    [
        "plums",
        '{"liking": 7}',
        "[7]",
        '[{"kind": "no_such", "id": "a", "fields": {}}]',
        '[{"kind": "tasting", "id": "a", "fields": {"body": 11}}]',
    ],
)
def test_damaged_journal_entry_is_dropped_at_start(driver, laid):
    driver.run(WRITE_JOURNAL, laid)
    driver.open()
    assert driver.run("return book.storeState.value") == "ready"
    assert (driver.count("tasting"), driver.run(JOURNAL)) == (0, [])


@pytest.fixture
def without_room(driver):
    """Open a page that cannot replay a journal entry of three fields because the phone is full."""
    id_ = driver.save("tasting", {"liking": 4})
    fields = {"liking": 7, "words": "plums", "oak": 2}
    driver.run(WRITE_JOURNAL, json.dumps([{"kind": "tasting", "id": id_, "fields": fields}]))
    driver.page.add_init_script(FULL)
    driver.run("sessionStorage.setItem('full', 'yes')")
    driver.open()
    assert driver.fields("tasting", id_) == {"liking": 4}
    [laid] = driver.run(JOURNAL)
    assert json.loads(laid)[0]["fields"] == fields
    driver.run("sessionStorage.removeItem('full')")
    return id_


@pytest.mark.extended
def test_full_phone_keeps_the_journal_for_the_next_start(driver, without_room):
    driver.open()
    assert driver.fields("tasting", without_room) == {"liking": 7, "words": "plums", "oak": 2}
    assert driver.run(JOURNAL) == []


@pytest.mark.extended
def test_full_local_storage_keeps_the_journal_unchanged(driver, without_room):
    laid = driver.run(JOURNAL)
    driver.page.add_init_script("""
      const setItem = Storage.prototype.setItem;
      Storage.prototype.setItem = function (key, value) {
        if (sessionStorage.full && key !== 'full') throw new DOMException('', 'QuotaExceededError');
        setItem.call(this, key, value);
      };""")
    driver.run("sessionStorage.setItem('full', 'yes')")
    driver.open()
    assert driver.run(JOURNAL) == laid
    driver.run("sessionStorage.removeItem('full')")
    driver.open()
    assert driver.fields("tasting", without_room) == {"liking": 7, "words": "plums", "oak": 2}


@pytest.mark.extended
def test_journal_is_replayed_after_the_next_successful_write(driver, without_room):
    driver.save("visit", {"name": "Hall 4"})
    driver.until(f"(await book.db.tasting.get('{without_room}')).fields.liking === 7")
    driver.until("!Object.keys(localStorage).some((key) => key.includes('.unwritten.'))")
    assert driver.fields("tasting", without_room) == {"liking": 7, "words": "plums", "oak": 2}


@pytest.mark.extended
def test_later_edit_wins_over_the_journal(driver, without_room):
    driver.run("await book.save('tasting', value, { liking: 5, oak: 1 })", without_room)
    driver.until(f"(await book.db.tasting.get('{without_room}')).fields.words === 'plums'")
    driver.open()
    assert driver.fields("tasting", without_room) == {"liking": 5, "words": "plums", "oak": 1}
    assert driver.run(JOURNAL) == []


@pytest.mark.extended
def test_journal_does_not_restore_a_deleted_note(driver, without_room):
    driver.run("await book.remove('tasting', value)", without_room)
    driver.open()
    row = driver.row("tasting", without_room)
    assert (row["deleted"], row["gone"]) == (True, 1)
    assert driver.run(JOURNAL) == []


@pytest.mark.extended
def test_later_journaled_edit_wins_over_the_journal(driver, without_room):
    driver.page.evaluate(HOLD_UP)
    driver.run("book.save('tasting', value, { liking: 5 })", without_room)
    driver.open()
    assert driver.fields("tasting", without_room) == {"liking": 5, "words": "plums", "oak": 2}
    assert driver.run(JOURNAL) == []


@pytest.mark.extended
@pytest.mark.several_tabs
def test_later_edit_of_another_tab_wins_over_the_journal(driver, without_room, open_book):
    other = open_book(driver.context)
    assert other.fields("tasting", without_room)["liking"] == 7
    other.save("tasting", {"liking": 5}, without_room)
    driver.save("visit", {"name": "Hall 4"})
    driver.open()
    assert driver.fields("tasting", without_room) == {"liking": 5, "words": "plums", "oak": 2}


@pytest.mark.extended
def test_edit_in_flight_wins_over_the_journal(driver, without_room):
    driver.page.evaluate(HOLD_UP)
    driver.run(
        """globalThis.saving = [book.save('visit', book.newId(), { name: 'Hall 4' }),
             book.save('tasting', value, { liking: 5 })]""",
        without_room,
    )
    driver.page.evaluate(LET_GO)
    driver.run("await Promise.all(saving)")
    driver.until(f"(await book.db.tasting.get('{without_room}')).fields.words === 'plums'")
    assert driver.fields("tasting", without_room) == {"liking": 5, "words": "plums", "oak": 2}
