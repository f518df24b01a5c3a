"""Pages that go away while they write: what was typed is in the book at the next start."""

from __future__ import annotations

import json

import pytest

from tests.browser.evening import HOLD_UP, LET_GO

pytestmark = pytest.mark.browser

LAID = """return Object.entries(localStorage)
  .filter(([key]) => key.startsWith('secondnose.unwritten.')).map(([, words]) => words)"""
LAY = "localStorage.setItem(`secondnose.unwritten.${book.newId()}`, value)"
FULL = """
const put = IDBObjectStore.prototype.put;
IDBObjectStore.prototype.put = function (...args) {
  if (sessionStorage.getItem('full')) throw new DOMException('no room', 'QuotaExceededError');
  return put.apply(this, args);
};"""


def test_what_a_page_was_writing_when_it_was_loaded_anew_is_written_by_the_next(hand):
    kept = hand.save("tasting", {"liking": 4})
    gone = hand.save("bottle", {"name": "Poured away"})
    hand.page.evaluate(HOLD_UP)
    hand.run(
        """book.save('tasting', value[0], { liking: 7, words: 'plums' });
           book.remove('bottle', value[1]);""",
        [kept, gone],
    )
    hand.open()
    assert hand.fields("tasting", kept) == {"liking": 7, "words": "plums"}
    assert hand.row("bottle", gone)["deleted"] is True
    assert {row["id"] for row in hand.outbox()} == {kept, gone}
    assert hand.run(LAID) == []


def test_a_closed_page_leaves_it_to_whichever_is_opened_next(open_book):
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
    assert again.run(LAID) == []


def test_a_page_that_was_put_away_and_wrote_after_all_leaves_nothing_laid(hand):
    hand.page.evaluate(HOLD_UP)
    hand.run("globalThis.saving = book.save('tasting', book.newId(), { liking: 7 })")
    hand.run("document.dispatchEvent(new Event('visibilitychange'))")
    [laid] = hand.run(LAID)
    assert json.loads(laid)[0]["fields"] == {"liking": 7}
    hand.page.evaluate(LET_GO)
    hand.run("await saving")
    assert hand.run(LAID) == []
    assert hand.count("tasting") == 1


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
def test_what_is_broken_is_let_go_and_the_book_opens(hand, laid):
    hand.run(LAY, laid)
    hand.open()
    assert hand.run("return book.storeState.value") == "ready"
    assert (hand.count("tasting"), hand.run(LAID)) == (0, [])


def test_a_phone_without_room_keeps_it_for_another_start(hand):
    id_ = hand.save("tasting", {"liking": 4})
    laid = json.dumps([{"kind": "tasting", "id": id_, "fields": {"liking": 7}}])
    hand.run(LAY, laid)
    hand.page.add_init_script(FULL)
    hand.run("sessionStorage.setItem('full', 'yes')")
    hand.open()
    assert hand.run(LAID) == [laid]
    assert hand.fields("tasting", id_) == {"liking": 4}
    hand.run("sessionStorage.removeItem('full')")
    hand.open()
    assert hand.fields("tasting", id_) == {"liking": 7}
    assert hand.run(LAID) == []
