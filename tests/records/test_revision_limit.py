"""The oldest revisions of a record are deleted beyond a number and a size."""

from __future__ import annotations

import pytest
from sqlalchemy import Connection, insert

from tests.memory_database import rows_of
from webapp.db.tables import revision
from webapp.records.revision_limit import limit_revisions

KEY = ("bottle", "a")


def fill(
    connection: Connection,
    count: int,
    length: int = 1,
    owner_id: int = 1,
    key: tuple[str, str] = KEY,
) -> list[tuple[str, ...]]:
    """Store revisions of a record, the oldest first, and return their keys."""
    kind, id_ = key
    plain = {"owner_id": owner_id, "kind": kind, "record_id": id_, "field": "name", "digest": ""}
    rows = [{**plain, "clock": f"{at:05d}", "value": "x" * length} for at in range(count)]
    connection.execute(insert(revision), rows)
    return [(kind, id_, "name", row["clock"], "") for row in rows]


def clocks(connection: Connection, owner_id: int = 1, key: tuple[str, str] = KEY) -> list[int]:
    rows = rows_of(connection, revision, "owner_id", "kind", "record_id", "clock")
    return [int(clock) for *whose, clock in rows if whose == [owner_id, *key]]


@pytest.mark.parametrize(("count", "first"), [(2000, 0), (2001, 1), (2010, 10)])
def test_latest_2000_revisions_are_kept(connection: Connection, count: int, first: int) -> None:
    limit_revisions(connection, 1, fill(connection, count))
    assert clocks(connection) == list(range(first, count))


@pytest.mark.parametrize(
    ("count", "length", "first"), [(100, 20_000, 0), (101, 20_000, 1), (100, 20_001, 1)]
)
def test_two_million_characters_are_kept(
    connection: Connection, count: int, length: int, first: int
) -> None:
    limit_revisions(connection, 1, fill(connection, count, length))
    assert clocks(connection) == list(range(first, count))


def test_few_revisions_are_not_measured(connection: Connection) -> None:
    limit_revisions(connection, 1, fill(connection, 95, 30_000))
    assert clocks(connection) == list(range(95))
    limit_revisions(connection, 1, [*fill(connection, 96, 30_000, key=("visit", "b"))])
    assert clocks(connection, key=("visit", "b")) == list(range(30, 96))


def test_revisions_of_other_records_are_kept(connection: Connection) -> None:
    others = [(1, ("bottle", "b")), (1, ("visit", "a")), (2, KEY)]
    for owner_id, key in others:
        fill(connection, 2_001, owner_id=owner_id, key=key)
    limit_revisions(connection, 1, fill(connection, 2_001))
    assert len(clocks(connection)) == 2_000
    assert [len(clocks(connection, *one)) for one in others] == [2_001] * 3


def test_each_record_is_limited_on_its_own(connection: Connection) -> None:
    keys = [("bottle", "a"), ("bottle", "b"), ("visit", "a")]
    known = [one for key in keys for one in fill(connection, 2_001, key=key)]
    limit_revisions(connection, 1, known)
    assert [len(clocks(connection, key=key)) for key in keys] == [2_000] * 3
