"""Saving on the phone: record, outbox row and clock are written in one transaction."""

from __future__ import annotations

import pytest

pytestmark = pytest.mark.browser


@pytest.mark.extended
def test_a_save_stores_record_outbox_row_and_clock_together(driver):
    id_ = driver.save("tasting", {"liking": 7, "words": "a quiet one"})
    row, [unsent] = driver.row("tasting", id_), driver.outbox()
    clock = driver.meta("clock")["last"]
    assert row["fields"] == unsent["fields"] == {"liking": 7, "words": "a quiet one"}
    assert row["clocks"] == unsent["clocks"] == {"liking": clock, "words": clock}
    assert (unsent["id"], unsent["held"], row["gone"]) == (id_, 0, 0)


@pytest.mark.extended
def test_interrupted_save_stores_nothing(driver):
    driver.save("tasting", {"liking": 5})
    before = driver.meta("clock")
    failed = driver.run("""
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
    assert driver.count("tasting") == 1
    assert len(driver.outbox()) == 1
    assert driver.meta("clock") == before


@pytest.mark.extended
def test_only_changed_fields_are_stamped(driver):
    id_ = driver.save("tasting", {"liking": 7, "body": 4})
    first = driver.row("tasting", id_)["clocks"]
    driver.save("tasting", {"liking": 8, "body": 4}, id_)
    second = driver.row("tasting", id_)["clocks"]
    assert second["body"] == first["body"]
    assert second["liking"] > first["liking"]


@pytest.mark.extended
def test_saving_equal_values_changes_nothing(driver):
    id_ = driver.save("tasting", {"sip_words": ["lemon", "~wet slate"], "place": None})
    before = driver.meta("clock"), driver.row("tasting", id_)
    driver.save("tasting", {"sip_words": ["lemon", "~wet slate"], "place": None}, id_)
    assert (driver.meta("clock"), driver.row("tasting", id_)) == before


@pytest.mark.extended
def test_invalid_value_is_reported_and_rejects_the_batch(driver):
    errors = driver.run("""
        const edits = [{ kind: 'tasting', id: book.newId(), fields: { liking: 5 } },
          { kind: 'tasting', id: book.newId(), fields: { body: 11, liking: 3 } }];
        return book.saveMany(edits).then(() => null, (error) => [error.code, error.errors]);""")
    assert errors == ["bad_fields", {"body": [{"code": "too_high", "bound": 10}]}]
    assert driver.count("tasting") == 0
    assert driver.outbox() == []


@pytest.mark.extended
def test_removed_record_is_restored_whole(driver):
    id_ = driver.save("bottle", {"name": "Invented No. 3"})
    driver.run("await book.remove('bottle', value)", id_)
    assert driver.row("bottle", id_)["gone"] == 1
    driver.run("await book.restore('bottle', value)", id_)
    row = driver.row("bottle", id_)
    assert (row["gone"], row["deleted"], row["fields"]) == (0, False, {"name": "Invented No. 3"})


@pytest.mark.extended
def test_edit_restores_a_removed_record_until_removed_again(driver):
    id_ = driver.save("bottle", {"name": "Invented No. 3"})
    driver.run("await book.remove('bottle', value)", id_)
    driver.save("bottle", {"name": "Invented No. 4"}, id_)
    assert driver.row("bottle", id_)["gone"] == 0
    driver.run("await book.remove('bottle', value)", id_)
    assert driver.row("bottle", id_)["gone"] == 1


@pytest.mark.extended
@pytest.mark.several_tabs
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


def test_closed_connection_is_reopened(driver):
    driver.save("tasting", {"liking": 5})
    driver.run("book.db.backendDB().close()")
    driver.save("tasting", {"liking": 6})
    assert driver.count("tasting") == 2
    assert driver.run("return book.storeState.value") == "ready"


@pytest.mark.extended
def test_aborted_transaction_is_retried(driver):
    driver.run("""
        const put = IDBObjectStore.prototype.put;
        IDBObjectStore.prototype.put = function (...args) {
          IDBObjectStore.prototype.put = put;
          const request = put.apply(this, args);
          this.transaction.abort();
          return request;
        };""")
    driver.save("tasting", {"liking": 5})
    assert (driver.count("tasting"), len(driver.outbox())) == (1, 1)
    assert driver.run("return book.storeState.value") == "ready"


@pytest.mark.extended
@pytest.mark.parametrize(("times", "state"), [(3, "ready"), (9, "connection_lost")])
def test_aborted_open_is_retried_for_a_second(driver, times, state):
    code = driver.run(
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
    assert driver.run("return book.storeState.value") == state


@pytest.mark.extended
def test_concurrent_writes_share_the_reopened_connection(driver):
    opened = driver.run("""
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
    assert (opened, driver.count("tasting")) == (1, 20)


@pytest.mark.extended
def test_lost_connection_is_reported(driver):
    code = driver.run("""
        book.db.backendDB().close();
        IDBDatabase.prototype.transaction = () => {
          throw new DOMException('connection is closing', 'InvalidStateError');
        };
        return book.save('tasting', book.newId(), { liking: 5 })
          .then(() => null, (error) => error.code);""")
    assert code == "connection_lost"
    assert driver.run("return book.storeState.value") == "connection_lost"


@pytest.mark.extended
def test_record_id_is_uuid_v7_and_sorts_by_time(driver):
    first, second = driver.run(
        """const id = book.newId();
           const now = Date.now();
           while (Date.now() === now);
           return [id, book.newId()];"""
    )
    assert (first[14], first[19] in "89ab", first < second) == ("7", True, True)


@pytest.mark.extended
def test_timestamp_carries_the_offset_of_the_phone(driver):
    # RFC 3339, 5.6: the numeric offset is local time minus UTC.
    text = driver.run("""
        const { timestamp } = await import('/lib/datetime.js');
        const date = new Date(1764099605000);
        date.getTimezoneOffset = () => 210;
        return [timestamp(date), new Date(timestamp(date)).getTime()];""")
    assert text == ["2025-11-25T16:10:05-03:30", 1764099605000]
