"""Saving on the phone: record, outbox row and clock are written in one transaction."""

from __future__ import annotations

import pytest

pytestmark = pytest.mark.browser


def test_a_save_stores_record_outbox_row_and_clock_together(hand):
    id_ = hand.save("tasting", {"liking": 7, "words": "a quiet one"})
    row, [unsent] = hand.row("tasting", id_), hand.outbox()
    clock = hand.meta("clock")["last"]
    assert row["fields"] == unsent["fields"] == {"liking": 7, "words": "a quiet one"}
    assert row["clocks"] == unsent["clocks"] == {"liking": clock, "words": clock}
    assert (unsent["id"], unsent["held"], row["gone"]) == (id_, 0, 0)


def test_interrupted_save_stores_nothing(hand):
    hand.save("tasting", {"liking": 5})
    before = hand.meta("clock")
    failed = hand.run("""
        const put = IDBObjectStore.prototype.put;
        IDBObjectStore.prototype.put = function (...args) {
          if (this.name === 'outbox') throw new Error('the phone stumbles');
          return put.apply(this, args);
        };
        const failed = await book.save('tasting', book.newId(), { liking: 9 })
          .then(() => false, () => true);
        IDBObjectStore.prototype.put = put;
        return failed;""")
    assert failed
    assert hand.count("tasting") == 1
    assert len(hand.outbox()) == 1
    assert hand.meta("clock") == before


def test_only_changed_fields_are_stamped(hand):
    id_ = hand.save("tasting", {"liking": 7, "body": 4})
    first = hand.row("tasting", id_)["clocks"]
    hand.save("tasting", {"liking": 8, "body": 4}, id_)
    second = hand.row("tasting", id_)["clocks"]
    assert second["body"] == first["body"]
    assert second["liking"] > first["liking"]


def test_saving_equal_values_changes_nothing(hand):
    id_ = hand.save("tasting", {"sip_words": ["lemon", "~wet slate"], "place": None})
    before = hand.meta("clock"), hand.row("tasting", id_)
    hand.save("tasting", {"sip_words": ["lemon", "~wet slate"], "place": None}, id_)
    assert (hand.meta("clock"), hand.row("tasting", id_)) == before


def test_invalid_value_is_reported_and_rejects_the_batch(hand):
    errors = hand.run("""
        const edits = [{ kind: 'tasting', id: book.newId(), fields: { liking: 5 } },
          { kind: 'tasting', id: book.newId(), fields: { body: 11, liking: 3 } }];
        return book.saveMany(edits).then(() => null, (error) => [error.code, error.errors]);""")
    assert errors == ["bad_fields", {"body": [{"code": "too_high", "bound": 10}]}]
    assert hand.count("tasting") == 0
    assert hand.outbox() == []


def test_removed_record_is_restored_whole(hand):
    id_ = hand.save("bottle", {"name": "Invented No. 3"})
    hand.run("await book.remove('bottle', value)", id_)
    assert hand.row("bottle", id_)["gone"] == 1
    hand.run("await book.restore('bottle', value)", id_)
    row = hand.row("bottle", id_)
    assert (row["gone"], row["deleted"], row["fields"]) == (0, False, {"name": "Invented No. 3"})


def test_edit_restores_a_removed_record_until_removed_again(hand):
    id_ = hand.save("bottle", {"name": "Invented No. 3"})
    hand.run("await book.remove('bottle', value)", id_)
    hand.save("bottle", {"name": "Invented No. 4"}, id_)
    assert hand.row("bottle", id_)["gone"] == 0
    hand.run("await book.remove('bottle', value)", id_)
    assert hand.row("bottle", id_)["gone"] == 1


def test_two_tabs_share_a_device_and_use_unique_clocks(open_book):
    one = open_book()
    other = open_book(one.context)
    save_twenty = """globalThis.saving = Promise.all(Array.from({ length: 20 }, (_, n) =>
        book.save('tasting', book.newId(), { words: String(n) })))"""
    for tab in (one, other):
        tab.run(save_twenty)
    for tab in (one, other):
        tab.run("await saving")
    clocks = [row["clocks"]["words"] for row in one.outbox()]
    assert len(set(clocks)) == 40
    assert len({clock[19:] for clock in clocks}) == 1


def test_closed_connection_is_reopened(hand):
    hand.save("tasting", {"liking": 5})
    hand.run("book.db.backendDB().close()")
    hand.save("tasting", {"liking": 6})
    assert hand.count("tasting") == 2
    assert hand.run("return book.storeState.value") == "ready"


def test_aborted_transaction_is_retried(hand):
    hand.run("""
        const put = IDBObjectStore.prototype.put;
        IDBObjectStore.prototype.put = function (...args) {
          IDBObjectStore.prototype.put = put;
          const request = put.apply(this, args);
          this.transaction.abort();
          return request;
        };""")
    hand.save("tasting", {"liking": 5})
    assert (hand.count("tasting"), len(hand.outbox())) == (1, 1)
    assert hand.run("return book.storeState.value") == "ready"


@pytest.mark.parametrize(("times", "state"), [(3, "ready"), (9, "connection_lost")])
def test_aborted_open_is_retried_for_a_second(hand, times, state):
    code = hand.run(
        """
        const open = IDBFactory.prototype.open;
        let left = value;
        IDBFactory.prototype.open = function (...args) {
          const request = open.apply(this, args);
          if (left-- > 0) breakOff(request);
          return request;
        };
        // As when the system deletes the database under the opening.
        const breakOff = (request) => Object.defineProperty(request, 'onsuccess', {
          set() {
            request.addEventListener('success', () => {
              request.result.close();
              const broken = new DOMException('The connection was closed.', 'AbortError');
              Object.defineProperty(request, 'error', { value: broken });
              request.dispatchEvent(new Event('error', { cancelable: true }));
            });
          },
        });
        book.db.backendDB().close();
        return book.save('tasting', book.newId(), { liking: 5 })
          .then(() => null, (error) => error.code);""",
        times,
    )
    assert code == (None if state == "ready" else state)
    assert hand.run("return book.storeState.value") == state


def test_concurrent_writes_share_the_reopened_connection(hand):
    opened = hand.run("""
        const open = IDBFactory.prototype.open;
        let opened = 0;
        IDBFactory.prototype.open = function (...args) {
          opened += 1;
          return open.apply(this, args);
        };
        book.db.backendDB().close();
        await Promise.all(Array.from({ length: 20 }, (_, n) =>
          book.save('tasting', book.newId(), { words: String(n) })));
        return opened;""")
    assert (opened, hand.count("tasting")) == (1, 20)


def test_lost_connection_is_reported(hand):
    code = hand.run("""
        book.db.backendDB().close();
        IDBDatabase.prototype.transaction = () => {
          throw new DOMException('connection is closing', 'InvalidStateError');
        };
        return book.save('tasting', book.newId(), { liking: 5 })
          .then(() => null, (error) => error.code);""")
    assert code == "connection_lost"
    assert hand.run("return book.storeState.value") == "connection_lost"


def test_record_id_is_uuid_v7_and_sorts_by_time(hand):
    first, second = hand.run(
        """const id = book.newId();
           await new Promise((go) => setTimeout(go, 5));
           return [id, book.newId()];"""
    )
    assert (first[14], first[19] in "89ab", first < second) == ("7", True, True)


def test_timestamp_carries_the_offset_of_the_phone(hand):
    # RFC 3339, 5.6: the numeric offset is local time minus UTC.
    text = hand.run("""
        const { timestamp } = await import('/lib/datetime.js');
        const date = new Date(1764099605000);
        date.getTimezoneOffset = () => 210;
        return [timestamp(date), new Date(timestamp(date)).getTime()];""")
    assert text == ["2025-11-25T16:10:05-03:30", 1764099605000]
