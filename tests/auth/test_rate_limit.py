"""Rate limits for each owner and address, shared by all workers and kept across restarts."""

from __future__ import annotations

from flask import Flask
from sqlalchemy import select

from tests.auth.conftest import signed_in_client
from tests.conftest import AppMaker
from tests.locked_databases import wait_briefly
from webapp.auth.counters import KEPT_FOR_S
from webapp.auth.errors import AccessError
from webapp.auth.rate_limit import WINDOW_S, RateLimiter
from webapp.db.engine import read_transaction, write_transaction
from webapp.db.tables import tally as tally_table

NOW_S = 1_790_000_400


def spent(limiter: RateLimiter, key: str, now_s: int) -> int:
    """Return how many requests are allowed before the first rejection."""
    for count in range(100_000):
        try:
            limiter.consume(key, now_s)
        except AccessError:
            return count
    raise AssertionError("There is no bound.")


def test_rate_limit_refills_in_the_next_window(any_app: Flask) -> None:
    with any_app.app_context():
        limiter = RateLimiter(200)
        assert spent(limiter, "by/1", NOW_S) == 200
        assert spent(limiter, "by/2", NOW_S) == 200
        assert spent(limiter, "by/1", NOW_S + WINDOW_S) == 200


def test_rate_limit_is_shared_between_workers(any_app: Flask) -> None:
    with any_app.app_context():
        first, second = RateLimiter(200), RateLimiter(200)
        first.consume("by/1", NOW_S)
        assert spent(second, "by/1", NOW_S) == 196
        assert spent(first, "by/1", NOW_S) == 3
        assert spent(RateLimiter(200), "by/1", NOW_S) == 0


def test_address_counters_expire_without_a_sign_in(app: Flask) -> None:
    with app.app_context():
        limiter = RateLimiter(200)
        limiter.consume("from/192.0.2.1", NOW_S)
        limiter.consume("from/192.0.2.2", NOW_S + KEPT_FOR_S + WINDOW_S)
        with read_transaction() as connection:
            keys = connection.scalars(select(tally_table.c.key)).all()
    assert keys == ["from/192.0.2.2"]


def test_rate_limit_of_none_counts_nothing(app: Flask) -> None:
    with app.app_context():
        limiter = RateLimiter(0)
        for _ in range(1000):
            limiter.consume("by/1", NOW_S)


def test_busy_database_does_not_block_requests(app: Flask) -> None:
    wait_briefly(app)
    with app.app_context(), write_transaction():
        RateLimiter(200).consume("by/1", NOW_S)


def test_rate_limited_response_gives_retry_after(make_app: AppMaker) -> None:
    client = make_app(MAX_REQUESTS=50).test_client()
    answers = [client.get("/api/me") for _ in range(60)]
    assert {answer.status_code for answer in answers[:40]} == {200}
    assert answers[-1].status_code == 429
    assert answers[-1].json["code"] == "too_many_requests"
    assert 0 < int(answers[-1].headers["Retry-After"]) <= WINDOW_S
    assert client.get("/healthz").status_code == 200


def test_rate_limit_of_one_owner_spares_another(sqlite_app: Flask) -> None:
    anna, bruno = signed_in_client(sqlite_app, "anna"), signed_in_client(sqlite_app, "bruno")
    sqlite_app.extensions["rate_limiter"] = RateLimiter(50)
    away = {"REMOTE_ADDR": "192.0.2.1"}
    for number in range(70):
        away = {"REMOTE_ADDR": f"192.0.2.{number % 7}"}
        last = anna.get("/api/me", environ_overrides=away)
    assert last.status_code == 429
    answer = bruno.get("/api/me", environ_overrides={"REMOTE_ADDR": "198.51.100.9"})
    assert answer.status_code == 200
