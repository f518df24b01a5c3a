"""Counters of attempts and requests: what each function changes, and what it leaves alone."""

from __future__ import annotations

from typing import Any

import pytest
from sqlalchemy import Connection, insert

from tests.memory_database import rows_of
from webapp.auth import counters
from webapp.db.tables import tally

NOW_S = 1_790_000_400
DAY_S = 24 * 3600


def counts(connection: Connection) -> dict[str, int]:
    return dict(rows_of(connection, tally, "key", "used"))


@pytest.mark.parametrize(
    ("address", "key"),
    [
        ("192.0.2.7", "192.0.2.7"),
        ("fe80::1:2%eth0", "fe80::/64"),
        ("2001:db8:1:2:3:4:5:6", "2001:db8:1:2::/64"),
        ("::ffff:192.0.2.7", "192.0.2.7"),
        ("nonsense", "unknown"),
        ("", "unknown"),
    ],
)
def test_client_key_is_an_address_or_a_network(address: str, key: str) -> None:
    assert counters.client_key(address) == key


def test_first_attempts_need_no_wait(connection: Connection) -> None:
    assert counters.retry_after_s(connection, "a", 1, 900, NOW_S) == 0
    counters.record_attempt(connection, "a", NOW_S)
    assert counters.retry_after_s(connection, "a", 2, 900, NOW_S) == 0
    assert counters.retry_after_s(connection, "a", 1, 900, NOW_S) == 2
    assert counters.retry_after_s(connection, "a", 1, 900, NOW_S + 1) == 1
    assert counters.retry_after_s(connection, "a", 1, 900, NOW_S + 3) == 0


def test_attempts_are_counted_for_their_key_alone(connection: Connection) -> None:
    for key in ("a", "b", "a"):
        counters.record_attempt(connection, key, NOW_S)
    assert rows_of(connection, tally, "key", "used", "at_s") == [
        ("a", 2, NOW_S),
        ("b", 1, NOW_S),
    ]


def test_attempts_start_again_after_a_day(connection: Connection) -> None:
    counters.record_attempt(connection, "a", NOW_S)
    counters.record_attempt(connection, "a", NOW_S + DAY_S)
    assert counts(connection) == {"a": 2}
    counters.record_attempt(connection, "a", NOW_S + 2 * DAY_S + 1)
    assert counts(connection) == {"a": 1}


def test_wait_ends_with_its_counter(connection: Connection) -> None:
    for _ in range(40):
        counters.record_attempt(connection, "a", NOW_S)
    waits = [
        counters.retry_after_s(connection, "a", 0, 10 * DAY_S, NOW_S + passed_s)
        for passed_s in (DAY_S, DAY_S + 1)
    ]
    assert waits == [9 * DAY_S, 0]


def test_clock_set_back_lengthens_no_wait(connection: Connection) -> None:
    for _ in range(3):
        counters.record_attempt(connection, "a", NOW_S + DAY_S)
    waits = [counters.retry_after_s(connection, "a", free, 900, NOW_S) for free in (1, 3, 4)]
    assert waits == [8, 2, 0]


def test_attempt_is_taken_back_from_its_key_alone(connection: Connection) -> None:
    for key in ("a", "b", "a", "a"):
        counters.record_attempt(connection, key, NOW_S)
    counters.take_back(connection, "a")
    assert counts(connection) == {"a": 2, "b": 1}
    for _ in range(3):
        counters.take_back(connection, "a")
    assert counts(connection) == {"a": 0, "b": 1}


def test_reset_deletes_its_key_alone(connection: Connection) -> None:
    for key in ("a", "b"):
        counters.record_attempt(connection, key, NOW_S)
    counters.reset(connection, "a")
    assert counts(connection) == {"b": 1}


def test_reservation_is_refused_beyond_the_limit(connection: Connection) -> None:
    def taken(share: int, now_s: int) -> bool:
        return counters.reserve(connection, "a", share, 10, 600, now_s)

    start_s = NOW_S - NOW_S % 600
    assert [taken(4, start_s), taken(4, start_s + 599)] == [True, True]
    assert not taken(3, start_s + 1)
    assert taken(2, start_s + 1)
    assert rows_of(connection, tally, "key", "used", "at_s") == [("a", 10, start_s)]
    assert taken(10, start_s + 600)
    assert rows_of(connection, tally, "key", "used", "at_s") == [("a", 10, start_s + 600)]


def test_old_counters_are_deleted(connection: Connection) -> None:
    old, kept = NOW_S - DAY_S - 1, NOW_S - DAY_S
    rows = [("from/a", old), ("from/b", kept)]
    connection.execute(insert(tally), [{"key": key, "used": 1, "at_s": at_s} for key, at_s in rows])
    counters.purge_old(connection, NOW_S)
    assert sorted(counts(connection)) == ["from/b"]


def test_counter_that_is_reset_meanwhile_starts_again(
    connection: Connection, monkeypatch: pytest.MonkeyPatch
) -> None:
    insert, others = counters.insert_missing, iter([True])

    def insert_and_lose(*given: Any) -> None:
        insert(*given)
        if next(others, False):
            counters.reset(connection, "a")

    monkeypatch.setattr(counters, "insert_missing", insert_and_lose)
    counters.record_attempt(connection, "a", NOW_S)
    assert counts(connection) == {"a": 1}
