"""Throttles: the counters of an attempt, and the wait that they require."""

from __future__ import annotations

import hashlib
import logging

import pytest
from sqlalchemy import Connection, insert

from tests.auth.conftest import KEY
from tests.memory_database import rows_of
from webapp.auth import sessions
from webapp.auth.errors import AccessError
from webapp.auth.sessions import Browser
from webapp.auth.throttle import (
    Throttle,
    check_wait,
    count_attempt,
    device_throttle,
    passphrase_throttles,
    reset_throttles,
)
from webapp.db.tables import sign_in, tally

NOW_S = 1_790_000_400
HERE = "192.0.2.1"


def hashed(name: str) -> str:
    return hashlib.sha256(name.encode()).hexdigest()[:20]


@pytest.mark.parametrize(
    ("name", "counted"), [(" Anna ", "anna"), ("STRASSE", "strasse"), ("", "")]
)
def test_attempt_at_an_unknown_name_has_three_counters(
    connection: Connection, name: str, counted: str
) -> None:
    assert passphrase_throttles(connection, name, None, HERE, NOW_S) == [
        Throttle(f"address/{HERE}", 20, 900),
        Throttle(f"both/{hashed(counted)}/{HERE}", 5, 900),
        Throttle(f"owner/{hashed(counted)}", 20, 60),
    ]


def test_known_address_is_counted_by_itself(connection: Connection) -> None:
    sessions.start(connection, 1, Browser("", HERE, KEY), NOW_S, confirmed=True)
    last = [
        passphrase_throttles(connection, "anna", owner_id, address, NOW_S)[-1]
        for owner_id, address in [(1, HERE), (2, HERE), (1, "192.0.2.2")]
    ]
    away = Throttle(f"owner/{hashed('anna')}", 20, 60)
    assert last == [Throttle(f"both/{hashed('anna')}/{HERE}", 5, 900), away, away]


def test_device_with_the_passphrase_counts_by_itself(connection: Connection) -> None:
    for confirmed in (True, True, False, False):
        sessions.start(connection, 1, Browser("", HERE, KEY), NOW_S, confirmed=confirmed)
    rows = rows_of(connection, sign_in, "id", "confirmed_at")
    counted = [device_throttle(connection, 1, id_) for id_, _ in rows]
    assert counted == [Throttle(f"device/{id_}" if at else "devices/1", 5, 900) for id_, at in rows]
    assert device_throttle(connection, 1, None) == Throttle("devices/1", 5, 900)


def test_longest_wait_of_all_counters_is_told(
    connection: Connection, caplog: pytest.LogCaptureFixture
) -> None:
    count_attempt(connection, [Throttle(key, 9, 900) for key in "abc"], NOW_S)
    with caplog.at_level(logging.WARNING, "webapp.auth.throttle"):
        check_wait(connection, [Throttle("c", 2, 900)], NOW_S)
        assert caplog.records == []
        waiting = [Throttle("a", 1, 900), Throttle("b", 0, 900), Throttle("c", 2, 900)]
        with pytest.raises(AccessError) as refused:
            check_wait(connection, waiting, NOW_S)
    assert (refused.value.code, refused.value.retry_after_s) == ("too_many_tries", 4)
    assert [(one.msg, vars(one)["wait_s"]) for one in caplog.records] == [("sign_in_throttled", 4)]


def test_refused_attempt_is_not_counted(connection: Connection) -> None:
    throttles = [Throttle("a", 1, 900), Throttle("b", 9, 900)]
    count_attempt(connection, throttles, NOW_S)
    with pytest.raises(AccessError):
        count_attempt(connection, throttles, NOW_S)
    assert rows_of(connection, tally, "key", "used") == [("a", 1), ("b", 1)]


def test_attempt_deletes_counters_of_other_days(connection: Connection) -> None:
    connection.execute(insert(tally).values(key="from/old", used=1, at_s=NOW_S - 2 * 24 * 3600))
    count_attempt(connection, [Throttle("a", 1, 900)], NOW_S)
    assert rows_of(connection, tally, "key") == [("a",)]


def test_success_resets_the_counters_of_the_attempt(connection: Connection) -> None:
    throttles = [Throttle(key, 9, 900) for key in "abc"]
    count_attempt(connection, throttles, NOW_S)
    reset_throttles(connection, throttles[:2])
    assert rows_of(connection, tally, "key") == [("c",)]
