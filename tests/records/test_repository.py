"""Records and revisions in SQL: what is read and written, and whose."""

from __future__ import annotations

import hashlib
from typing import Any

import pytest
from sqlalchemy import Connection, event, insert, update

from tests.memory_database import rows_of
from webapp.db.tables import owner, record, revision, safe
from webapp.records import repository
from webapp.records.record import Record
from webapp.records.repository import Key, StoredRecord, to_json

CLOCK = "1790000000000-0000-phone000"
LATER = "1790000000001-0000-phone000"


def made(id_: str, seq: int = 1, kind: str = "bottle", **given: Any) -> StoredRecord:
    plain: Record = {
        "kind": kind,
        "id": id_,
        "fields": {"name": f"name of {id_} \u00e9"},
        "clocks": {"name": CLOCK, "vintage": LATER},
        "deleted": False,
        "deleted_clock": None,
    }
    return StoredRecord(seq, {**plain, **given})  # type: ignore[typeddict-item]


def write(connection: Connection, owner_id: int, *stored: StoredRecord) -> None:
    repository.write_records(connection, owner_id, [*stored], [])


def add_revision(
    connection: Connection,
    owner_id: int,
    key: Key,
    value: Any = 1,
    clock: str = CLOCK,
    **given: Any,
) -> dict[str, Any]:
    superseded = {"field": given.get("field", "name"), "value": value, "clock": clock}
    row = repository.revision_row(owner_id, key, superseded, given.get("seq"))  # type: ignore[arg-type]
    repository.write_revisions(connection, [row])
    return row


def test_record_is_stored_as_text(connection: Connection) -> None:
    write(connection, 2, made("a", 7, deleted=True, deleted_clock=LATER))
    columns = ("owner_id", "kind", "id", "seq", "fields", "clocks", "deleted", "deleted_clock")
    fields = '{"name":"name of a \u00e9"}'
    clocks = f'{{"name":"{CLOCK}","vintage":"{LATER}"}}'
    assert rows_of(connection, record, *columns) == [
        (2, "bottle", "a", 7, fields, clocks, True, LATER)
    ]


def test_record_is_read_as_written(connection: Connection) -> None:
    stored = [made("a", 1), made("b", 2, deleted=True, deleted_clock=LATER)]
    write(connection, 1, *stored)
    keys = [("bottle", "a"), ("bottle", "b"), ("bottle", "c")]
    found = repository.load_records(connection, 1, keys)
    assert found == dict(zip(keys[:2], stored, strict=True))


def test_records_are_read_by_owner_kind_and_id(connection: Connection) -> None:
    write(connection, 1, made("a", 1), made("a", 2, "visit"), made("b", 3))
    write(connection, 2, made("a", 1), made("d", 2))
    keys = [("bottle", "a"), ("visit", "b"), ("bottle", "d"), ("bottle", "a")]
    assert {*repository.load_records(connection, 1, keys)} == {("bottle", "a")}
    assert repository.existing_keys(connection, 1, keys) == {("bottle", "a")}
    assert repository.existing_keys(connection, 1, []) == set()


@pytest.mark.parametrize(("count", "queries"), [(1, 1), (400, 1), (401, 2), (800, 2)])
def test_many_records_are_read_in_lots(connection: Connection, count: int, queries: int) -> None:
    write(connection, 1, *[made(f"{place:04d}", place) for place in range(count)])
    sent: list[str] = []
    event.listen(connection, "before_cursor_execute", lambda *given: sent.append(given[2]))
    keys = [("bottle", f"{place:04d}") for place in range(count)]
    assert repository.existing_keys(connection, 1, keys) == set(keys)
    assert len(sent) == queries
    assert len(repository.load_records(connection, 1, keys)) == count


def test_changed_record_is_written_over_its_own_row(connection: Connection) -> None:
    for owner_id in (1, 2):
        write(connection, owner_id, made("a", 1), made("a", 2, "visit"), made("b", 3))
    change = made("a", 9, fields={"vintage": 1999}, clocks={"vintage": LATER}, deleted=True)
    repository.write_records(connection, 1, [], [change])
    columns = ("owner_id", "kind", "id", "seq", "deleted")
    assert rows_of(connection, record, *columns) == [
        (1, "bottle", "a", 9, True),
        (1, "bottle", "b", 3, False),
        (1, "visit", "a", 2, False),
        (2, "bottle", "a", 1, False),
        (2, "bottle", "b", 3, False),
        (2, "visit", "a", 2, False),
    ]
    assert repository.load_records(connection, 1, [("bottle", "a")])["bottle", "a"] == change


def test_created_and_changed_are_written_together(connection: Connection) -> None:
    repository.write_records(connection, 1, [], [])
    write(connection, 1, made("a", 1))
    repository.write_records(connection, 1, [made("b", 2)], [made("a", 3)])
    assert rows_of(connection, record, "id", "seq") == [("a", 3), ("b", 2)]


@pytest.mark.parametrize("text", ["plain", "\u00e9", "\\u00e9", '"quoted"', "\ud800"])
def test_text_is_stored_without_escapes(text: str) -> None:
    stored = to_json({"a": text, "b": [1, 2]})
    assert stored.isascii() == text.isascii()
    assert ": " not in stored
    assert ", " not in stored


def test_revision_has_a_digest_of_its_value(connection: Connection) -> None:
    row = add_revision(connection, 2, ("bottle", "a"), {"b": 1.0, "a": "\u00e9"}, seq=5)
    text = '{"a":"\u00e9","b":1}'
    assert row == {
        "owner_id": 2,
        "kind": "bottle",
        "record_id": "a",
        "field": "name",
        "clock": CLOCK,
        "digest": hashlib.sha256(text.encode()).hexdigest()[:32],
        "value": '{"b":1.0,"a":"\u00e9"}',
        "overruled_at": 5,
    }
    other = {"field": "name", "value": "\ud800", "clock": CLOCK}
    lone = hashlib.sha256(b'"\\ud800"').hexdigest()[:32]
    assert repository.revision_row(2, ("bottle", "a"), other, 5)["digest"] == lone  # type: ignore[arg-type]
    assert rows_of(connection, revision, *row) == [tuple(row.values())]
    assert repository.revision_key(row) == ("bottle", "a", "name", CLOCK, row["digest"])


def test_revision_is_stored_once(connection: Connection) -> None:
    first = add_revision(connection, 1, ("bottle", "a"), seq=1)
    add_revision(connection, 1, ("bottle", "a"), seq=2)
    assert rows_of(connection, revision, "overruled_at") == [(1,)]
    for owner_id, id_, value in ((1, "b", 1), (1, "a", 2), (2, "a", 1)):
        add_revision(connection, owner_id, ("bottle", id_), value)
    keys = [("bottle", "a"), ("visit", "b")]
    found = repository.existing_revisions(connection, 1, keys)
    assert len(found) == 2
    assert repository.revision_key(first) in found


def test_revisions_of_a_record_are_read_latest_first(connection: Connection) -> None:
    key = ("bottle", "a")
    assert repository.load_revisions(connection, 1, key) is None
    write(connection, 1, made("a", 1), made("b", 2), made("a", 3, "visit"))
    assert repository.load_revisions(connection, 1, key) == []
    for owner_id, other in ((1, ("bottle", "b")), (1, ("visit", "a")), (2, key)):
        add_revision(connection, owner_id, other)
    for clock, field, value in ((CLOCK, "name", "x"), (LATER, "vintage", 1), (LATER, "name", [2])):
        add_revision(connection, 1, key, value, clock, field=field, seq=4)
    assert repository.load_revisions(connection, 1, key) == [
        {"field": field, "value": value, "clock": clock, "overruled_at": 4}
        for field, value, clock in (
            ("name", [2], LATER),
            ("vintage", 1, LATER),
            ("name", "x", CLOCK),
        )
    ]


def test_revisions_of_one_record_are_deleted(connection: Connection) -> None:
    keys = [(1, ("bottle", "a")), (1, ("bottle", "b")), (1, ("visit", "a")), (2, ("bottle", "a"))]
    for owner_id, key in keys:
        add_revision(connection, owner_id, key)
    repository.delete_revisions(connection, 1, ("bottle", "a"))
    left = rows_of(connection, revision, "owner_id", "kind", "record_id")
    assert left == [(1, "bottle", "b"), (1, "visit", "a"), (2, "bottle", "a")]


def test_revisions_of_an_owner_are_in_a_fixed_order(connection: Connection) -> None:
    given = [
        (("visit", "a"), 1, CLOCK, "name"),
        (("bottle", "b"), 1, CLOCK, "name"),
        (("bottle", "a"), 2, LATER, "name"),
        (("bottle", "a"), 1, LATER, "name"),
        (("bottle", "a"), 1, CLOCK, "vintage"),
        (("bottle", "a"), 1, CLOCK, "name"),
    ]
    for key, value, clock, field in given:
        add_revision(connection, 1, key, value, clock, field=field)
    add_revision(connection, 2, ("bottle", "a"))
    found = [
        (row.owner_id, row.kind, row.record_id, row.field, row.clock, row.digest)
        for row in repository.revision_rows(connection, 1)
    ]
    assert (len(found), found) == (6, sorted(found))


def test_active_records_are_flat_and_not_deleted(connection: Connection) -> None:
    write(
        connection,
        1,
        made("c", 1),
        made("a", 2, fields={"id": "another", "vintage": 1999}),
        made("b", 3, deleted=True, deleted_clock=LATER),
        made("d", 4, "visit"),
    )
    write(connection, 2, made("e", 1))
    assert list(repository.active_records(connection, 1, "bottle")) == [
        {"id": "a", "vintage": 1999},
        {"id": "c", "name": "name of c \u00e9"},
    ]


def test_rows_of_a_kind_are_read_by_id(connection: Connection) -> None:
    write(connection, 1, made("b", 1), made("a", 2, deleted=True), made("a", 3, "visit"))
    write(connection, 2, made("c", 1))

    def ids(*asked: str) -> list[int]:
        return [row.seq for row in repository.record_rows(connection, 1, *asked)]

    assert [ids("bottle"), ids("bottle", "b"), ids("bottle", "c")] == [[2, 1], [1], []]


def test_notebook_is_advanced_for_its_owner(connection: Connection) -> None:
    connection.execute(update(owner).values(seq=3, max_clock_ms=4))
    repository.advance_notebook(connection, 1, 8, 9)
    assert rows_of(connection, owner, "id", "seq", "max_clock_ms") == [(1, 8, 9), (2, 3, 4)]
    row = repository.notebook_row(connection, 1, lock=True)
    assert (row.id, row.seq) == (1, 8)
    repository.lock_owner(connection, 1)


def test_version_has_the_epoch_and_the_last_sequence(connection: Connection) -> None:
    assert repository.notebook_version(connection, 1) == ("", 0)
    connection.execute(insert(safe).values(id=1, epoch="an epoch", made_at=""))
    connection.execute(update(owner).where(owner.c.id == 1).values(seq=5))
    assert repository.notebook_version(connection, 1) == ("an epoch", 5)
    assert repository.notebook_version(connection, 9) == ("an epoch", 0)
