"""Numeric limits of authentication: counts, durations and behaviour exactly at the bounds."""

from __future__ import annotations

import re

import pytest
from flask import Flask
from sqlalchemy import insert, select, update
from sqlalchemy.exc import OperationalError

from tests.auth.conftest import KEY, WORDS, signed_in_client
from webapp.auth import counters, login, passphrase, sessions
from webapp.auth.errors import STATUS, AccessError
from webapp.auth.rate_limit import RateLimiter
from webapp.auth.sessions import Browser
from webapp.db.engine import read_transaction, write_transaction
from webapp.db.tables import sign_in
from webapp.db.tables import tally as tally_table

NOW_S = 1_790_000_400
DAY_S = 24 * 3600
HERE = "192.0.2.1"
PHONE = Browser("a phone", HERE, KEY)


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Replace hashing by plain comparison, because its duration does not matter here."""
    monkeypatch.setattr(passphrase, "verify", lambda given, kept: given in WORDS.values())
    monkeypatch.setattr(passphrase, "needs_rehash", lambda kept: False)


def spent(limiter: RateLimiter, now_s: int) -> int:
    for count in range(1000):
        try:
            limiter.consume("by/1", now_s)
        except AccessError:
            return count
    raise AssertionError("There is no bound.")


def keys() -> list[str]:
    with read_transaction() as connection:
        return sorted(connection.scalars(select(tally_table.c.key)))


def test_an_error_has_the_status_of_its_code() -> None:
    by_status = {
        401: {
            *("sign_in", "revoked", "passphrase_changed", "upgraded", "erased", "wrong"),
            *("unknown_passkey", "passkey_refused", "guest_ended"),
        },
        403: {"cross_origin", "confirm"},
        404: {
            *("no_device", "no_pairing", "pairing_cancelled", "no_passkey"),
            *("no_such_table", "no_such_glass", "no_such_guest"),
        },
        409: {
            *("other_owner", "no_passphrase", "passkey_added_before", "too_many_passkeys"),
            *("table_ended", "guest_taken", "full"),
        },
        410: {"passkey_expired"},
        421: {"unknown_host"},
        422: {"weak_passphrase"},
        426: {"update"},
        429: {"too_many_tries", "too_many_requests"},
    }
    found = {code: AccessError(code, "").status for code in STATUS}
    assert found == {code: status for status, codes in by_status.items() for code in codes}


@pytest.mark.parametrize("most", [1, 3, 49, 50, 99, 101])
def test_rate_limit_allows_nearly_its_full_count(app: Flask, most: int) -> None:
    with app.app_context():
        assert spent(RateLimiter(most), NOW_S) == most - most % max(1, most // 50)


@pytest.mark.parametrize(("passed_s", "wait_s"), [(0, 600), (1, 599), (599, 1)])
def test_rate_limited_client_waits_for_the_window_end(
    app: Flask, passed_s: int, wait_s: int
) -> None:
    with app.app_context():
        limiter = RateLimiter(1)
        limiter.consume("by/1", NOW_S + passed_s)
        with pytest.raises(AccessError) as refused:
            limiter.consume("by/1", NOW_S + passed_s)
    assert refused.value.retry_after_s == wait_s


def test_unused_tokens_do_not_carry_over(app: Flask) -> None:
    with app.app_context():
        limiter = RateLimiter(200)
        limiter.consume("by/1", NOW_S)
        assert spent(limiter, NOW_S + 600) == 200


def test_concurrent_token_batches_are_both_counted(app: Flask) -> None:
    with app.app_context():
        limiter = RateLimiter(200)
        assert limiter._fetch("by/1", NOW_S)
        assert limiter._fetch("by/1", NOW_S)
        assert spent(limiter, NOW_S) == 198


def test_rate_limit_is_skipped_while_the_database_is_locked(
    app: Flask, monkeypatch: pytest.MonkeyPatch
) -> None:
    def busy() -> None:
        raise OperationalError("BEGIN IMMEDIATE", None, Exception("database is locked"))

    with app.app_context():
        limiter = RateLimiter(1)
        monkeypatch.setattr("webapp.auth.rate_limit.write_transaction", busy)
        for _ in range(3):
            limiter.consume("by/1", NOW_S)


def test_old_counters_are_deleted_once_a_window(app: Flask) -> None:
    with app.app_context():
        limiter = RateLimiter(50)
        limiter.consume("by/1", NOW_S)
        with write_transaction() as connection:
            old = {"key": "from/old", "used": 1, "at_s": NOW_S - 2 * DAY_S}
            connection.execute(insert(tally_table), old)
        limiter.consume("by/1", NOW_S)
        assert keys() == ["by/1", "from/old"]
        limiter.consume("by/1", NOW_S + 600)
        assert keys() == ["by/1"]


def test_requests_are_counted_by_owner_and_by_address(sqlite_app: Flask) -> None:
    client = signed_in_client(sqlite_app, "anna")
    with sqlite_app.app_context():
        with write_transaction() as connection:
            connection.execute(tally_table.delete())
        client.get("/api/me")
        sqlite_app.extensions["rate_limiter"] = RateLimiter(50)
        client.get("/api/me")
        assert keys() == ["by/1", "from/127.0.0.1"]


@pytest.mark.usefixtures("quick")
def test_attempts_are_counted_under_three_keys(sqlite_app: Flask) -> None:
    with sqlite_app.app_context():
        with pytest.raises(AccessError):
            login.sign_in("anna", "wrong", PHONE, NOW_S)
        found = keys()
    assert len(found) == 3
    assert found[0] == f"address/{HERE}"
    assert re.fullmatch(rf"both/[0-9a-f]{{20}}/{HERE}", found[1])
    assert re.fullmatch(r"owner/[0-9a-f]{20}", found[2])
    assert found[1].split("/")[1] == found[2].split("/")[1]


@pytest.mark.usefixtures("quick")
def test_successful_sign_in_resets_the_attempts(sqlite_app: Flask) -> None:
    with sqlite_app.app_context():
        for _ in range(4):
            with pytest.raises(AccessError):
                login.sign_in("anna", "wrong", PHONE, NOW_S)
        login.sign_in("anna", WORDS["anna"], PHONE, NOW_S)
        assert keys() == []


@pytest.mark.usefixtures("quick")
@pytest.mark.parametrize("names", [("anna",), tuple(f"owner {n}" for n in range(60))])
def test_throttle_delay_is_at_most_15_minutes(sqlite_app: Flask, names: tuple[str, ...]) -> None:
    with sqlite_app.app_context():
        now_s, waits = NOW_S, []
        for place in range(60):
            try:
                login.sign_in(names[place % len(names)], "wrong", PHONE, now_s)
            except AccessError as error:
                waits.append(error.retry_after_s or 0)
                now_s += error.retry_after_s or 0
    assert max(waits) == 900


@pytest.mark.usefixtures("quick")
def test_throttle_per_owner_starts_after_20_attempts(sqlite_app: Flask) -> None:
    codes = []
    with sqlite_app.app_context():
        for place in range(22):
            with pytest.raises(AccessError) as refused:
                login.sign_in("anna", "wrong", Browser("", f"192.0.2.{place}", KEY), NOW_S)
            codes.append(refused.value.code)
    assert codes == ["wrong"] * 20 + ["too_many_tries"] * 2


@pytest.mark.usefixtures("quick")
def test_throttle_per_address_starts_after_20_attempts(sqlite_app: Flask) -> None:
    codes = []
    with sqlite_app.app_context():
        for place in range(21):
            with pytest.raises(AccessError) as refused:
                login.sign_in(f"owner {place}", "wrong", PHONE, NOW_S)
            codes.append(refused.value.code)
    assert codes == ["wrong"] * 20 + ["too_many_tries"]


def test_throttle_delay_doubles_from_two_seconds() -> None:
    assert [counters.backoff_s(used, 5, 900) for used in (4, 5, 6, 7, 13, 14)] == [
        0,
        2,
        4,
        8,
        512,
        900,
    ]
    assert counters.backoff_s(10**6, 0, 2**40) == 2**30


def test_throttle_counter_expires_after_a_day(app: Flask) -> None:
    with app.app_context(), write_transaction() as connection:
        for _ in range(9):
            counters.record_attempt(connection, "k", NOW_S)
        assert counters.retry_after_s(connection, "k", 5, 10 * DAY_S, NOW_S) == 32
        assert counters.retry_after_s(connection, "k", 5, 10 * DAY_S, NOW_S + 31) == 1
        assert counters.retry_after_s(connection, "k", 0, 2 * DAY_S, NOW_S + 33) == 1024 - 33
        counters.record_attempt(connection, "k", NOW_S + DAY_S)
        assert connection.scalar(select(tally_table.c.used)) == 10
        counters.record_attempt(connection, "k", NOW_S + 2 * DAY_S + 1)
        assert connection.scalar(select(tally_table.c.used)) == 1


def test_throttle_delay_ends_when_its_counter_expires(app: Flask) -> None:
    with app.app_context(), write_transaction() as connection:
        for _ in range(40):
            counters.record_attempt(connection, "k", NOW_S)
        longest_s = 10 * DAY_S
        assert counters.retry_after_s(connection, "k", 0, longest_s, NOW_S + DAY_S) == 9 * DAY_S
        assert counters.retry_after_s(connection, "k", 0, longest_s, NOW_S + DAY_S + 1) == 0


def test_throttle_counter_of_exactly_a_day_is_valid(app: Flask) -> None:
    with app.app_context():
        with write_transaction() as connection:
            counters.record_attempt(connection, "k", NOW_S)
            counters.purge_old(connection, NOW_S + DAY_S)
        assert keys() == ["k"]
        with write_transaction() as connection:
            counters.purge_old(connection, NOW_S + DAY_S + 1)
        assert keys() == []


def test_session_expires_180_days_after_last_use(sqlite_app: Flask) -> None:
    with sqlite_app.app_context(), write_transaction() as connection:
        token = sessions.start(connection, 1, PHONE, NOW_S)
        row = sessions.find(connection, token)
        assert row is not None
        assert sessions.is_active(row, NOW_S + 180 * DAY_S - 1)
        assert not sessions.is_active(row, NOW_S + 180 * DAY_S)
        listed = sessions.devices_of(connection, 1, NOW_S + 180 * DAY_S - 1)
        assert [one["name"] for one in listed] == ["a phone"]
        assert sessions.devices_of(connection, 1, NOW_S + 180 * DAY_S) == []


def test_address_is_known_for_90_days_unless_revoked(sqlite_app: Flask) -> None:
    with sqlite_app.app_context(), write_transaction() as connection:
        sessions.start(connection, 1, PHONE, NOW_S, confirmed=True)
        known = sessions.has_used_address
        assert known(connection, 1, HERE, NOW_S + 90 * DAY_S - 1)
        assert not known(connection, 1, HERE, NOW_S + 90 * DAY_S)
        assert not known(connection, 2, HERE, NOW_S)
        assert not known(connection, 1, "192.0.2.2", NOW_S)
        assert sessions.end_all(connection, 1, "signed_out", NOW_S) == 1
        assert known(connection, 1, HERE, NOW_S)
        connection.execute(update(sign_in).values(ended_as="revoked"))
        assert not known(connection, 1, HERE, NOW_S)
