"""The rate limiter's batches in one process, and what it stores and logs."""

from __future__ import annotations

import logging

import pytest
from flask import Flask
from sqlalchemy import insert
from sqlalchemy.exc import OperationalError

from tests.memory_database import rows_of
from webapp.auth import counters, rate_limit
from webapp.auth.errors import AccessError
from webapp.auth.rate_limit import RateLimiter
from webapp.db.engine import read_transaction, write_transaction
from webapp.db.tables import tally

START_S = 1_790_000_400

pytestmark = pytest.mark.usefixtures("memory_app")


def stored() -> list[tuple[object, ...]]:
    with read_transaction() as connection:
        return rows_of(connection, tally, "key", "used", "at_s")


def consume(limiter: RateLimiter, count: int, key: str = "a", now_s: int = START_S) -> None:
    for _ in range(count):
        limiter.consume(key, now_s)


@pytest.mark.parametrize(("limit", "batch"), [(1, 1), (99, 1), (100, 2), (200, 4)])
def test_requests_are_reserved_in_batches(limit: int, batch: int) -> None:
    limiter = RateLimiter(limit)
    consume(limiter, 1, now_s=START_S + 7)
    assert stored() == [("a", batch, START_S)]
    consume(limiter, batch - 1, now_s=START_S + 9)
    assert stored() == [("a", batch, START_S)]
    if limit > batch:
        consume(limiter, 1)
        assert stored() == [("a", 2 * batch, START_S)]


def test_limit_is_counted_by_key_and_window(caplog: pytest.LogCaptureFixture) -> None:
    limiter = RateLimiter(100)
    consume(limiter, 100)
    with caplog.at_level(logging.WARNING), pytest.raises(AccessError) as refused:
        consume(limiter, 1, now_s=START_S + 20)
    assert (refused.value.code, refused.value.retry_after_s) == ("too_many_requests", 580)
    for _ in range(2):
        with pytest.raises(AccessError):
            consume(limiter, 1)
    logged = [(one.msg, vars(one)["key"]) for one in caplog.records]
    assert logged[0] == ("too_many_requests", "a")
    consume(limiter, 100, key="b")
    consume(limiter, 100, now_s=START_S + 600)


def test_batches_of_an_earlier_window_are_forgotten() -> None:
    limiter = RateLimiter(200)
    for key in ("a", "b"):
        consume(limiter, 1, key)
    consume(limiter, 1, "a", START_S + 600)
    assert limiter._left == {"a": (START_S + 600, 3)}
    consume(limiter, 1, "b", START_S)
    assert stored() == [("a", 4, START_S + 600), ("b", 8, START_S)]


def test_remembered_keys_are_bounded(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(rate_limit, "MAX_KEYS", 3)
    limiter = RateLimiter(200)
    for number in range(10):
        consume(limiter, 1, f"key {number}")
    assert [*limiter._left] == ["key 7", "key 8", "key 9"]
    # A key that was dropped is counted on.
    consume(limiter, 1, "key 0")
    assert ("key 0", 8, START_S) in stored()


def test_old_counters_are_deleted_once_a_window() -> None:
    limiter = RateLimiter(100)
    for key, now_s, left in [("a", START_S, 0), ("b", START_S, 1), ("a", START_S + 600, 0)]:
        with write_transaction() as connection:
            connection.execute(insert(tally).values(key="old", used=1, at_s=0))
        consume(limiter, 1, key, now_s)
        assert [row[0] for row in stored()].count("old") == left
        with write_transaction() as connection:
            counters.reset(connection, "old")


def test_busy_database_rejects_no_request(monkeypatch: pytest.MonkeyPatch) -> None:
    def busy() -> None:
        raise OperationalError("UPDATE", None, Exception("database is locked"))

    limiter = RateLimiter(1)
    with monkeypatch.context() as patch:
        patch.setattr(rate_limit, "write_transaction", busy)
        consume(limiter, 3)
    consume(limiter, 1)
    assert stored() == [("a", 1, START_S)]


def test_unlimited_server_stores_nothing(memory_app: Flask) -> None:
    consume(RateLimiter(0), 1_000)
    assert stored() == []
