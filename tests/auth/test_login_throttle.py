"""Guessing is throttled without locking the owner out."""

from __future__ import annotations

import time

import pytest
from flask import Flask
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy import func, select

from tests.auth.conftest import KEY, WORDS, browser, signed_in_client
from webapp.auth import counters, login, passphrase
from webapp.auth.errors import AccessError
from webapp.auth.sessions import Browser
from webapp.db.engine import read_transaction
from webapp.db.tables import tally as tally_table

NOW_S = 1_790_000_000


class Clock:
    """A replacement for the server's clock."""

    def __init__(self, now_s: int) -> None:
        self.now_s = now_s

    def time(self) -> float:
        return float(self.now_s)


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Replace hashing by plain comparison, because its duration does not matter here."""
    monkeypatch.setattr(passphrase, "verify", lambda given, kept: given in WORDS.values())
    monkeypatch.setattr(passphrase, "needs_rehash", lambda kept: False)


def outcome(app: Flask, address: str, now_s: int, words: str = "wrong", name: str = "anna") -> str:
    with app.app_context():
        try:
            login.sign_in(name, words, Browser("a phone", address, KEY), now_s)
        except AccessError as error:
            return error.code
    return "in"


@pytest.mark.usefixtures("quick")
def test_throttle_delay_doubles_after_each_attempt(shared_app: Flask) -> None:
    assert {outcome(shared_app, "192.0.2.1", NOW_S) for _ in range(5)} == {"wrong"}
    waits, at_s = [], NOW_S
    for _ in range(5):
        before = at_s
        while outcome(shared_app, "192.0.2.1", at_s) == "too_many_tries":
            at_s += 1
        waits.append(at_s - before)
    assert waits == [2, 4, 8, 16, 32]


@pytest.mark.usefixtures("quick")
def test_throttle_response_gives_the_delay(sqlite_app: Flask) -> None:
    client = browser(sqlite_app)
    body = {"name": "anna", "passphrase": "wrong"}
    answers = [client.post("/api/sign-in", json=body) for _ in range(6)]
    assert [answer.status_code for answer in answers] == [401] * 5 + [429]
    assert int(answers[-1].headers["Retry-After"]) in (1, 2)


@pytest.mark.usefixtures("quick")
def test_remote_attempts_do_not_slow_local_sign_in(shared_app: Flask) -> None:
    assert outcome(shared_app, "198.51.100.7", NOW_S, WORDS["anna"]) == "in"
    for number in range(200):
        outcome(shared_app, f"192.0.2.{number}", NOW_S)
    assert outcome(shared_app, "203.0.113.5", NOW_S, WORDS["anna"]) == "too_many_tries"
    assert outcome(shared_app, "198.51.100.7", NOW_S, WORDS["anna"]) == "in"
    assert outcome(shared_app, "203.0.113.5", NOW_S + 60, WORDS["anna"]) == "in"


@pytest.mark.usefixtures("quick")
def test_wrong_attempts_are_limited_to_100_an_hour(sqlite_app: Flask) -> None:
    heard = 0
    for second in range(0, 3600, 12):
        address = f"192.0.{second // 200}.{second % 200}"
        heard += outcome(sqlite_app, address, NOW_S + second) == "wrong"
    assert 70 < heard <= 100


@pytest.mark.usefixtures("quick")
def test_all_sign_in_routes_share_100_attempts_an_hour(
    sqlite_app: Flask, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Over HTTP: from new addresses, from two of the owner's own, and with the name in any case."""
    clock = Clock(NOW_S)
    monkeypatch.setattr(time, "time", clock.time)
    thief = signed_in_client(sqlite_app, "anna", device_name="stolen")
    at_home = {"REMOTE_ADDR": "198.51.100.7"}
    body = {"name": "anna", "passphrase": WORDS["anna"]}
    assert (
        browser(sqlite_app).post("/api/sign-in", json=body, environ_overrides=at_home).status
        == "200 OK"
    )
    heard = 0
    for second in range(0, 3600, 36):
        clock.now_s = NOW_S + second
        name = "aNnA" if second % 8 else "ANNA"
        guess = {"name": name, "passphrase": "wrong"}
        away = {"REMOTE_ADDR": f"192.0.{second // 200}.{second % 200}"}
        for where in (away, at_home):
            answer = browser(sqlite_app).post("/api/sign-in", json=guess, environ_overrides=where)
            heard += answer.status_code == 401
        asked = {"current": "wrong", "new": "nine loud copper kettles"}
        heard += thief.post("/api/passphrase", json=asked).status_code == 401
        heard += thief.post("/api/confirm", json={"passphrase": "wrong"}).status_code == 401
    assert 60 < heard <= 100


@pytest.mark.usefixtures("quick")
def test_signed_in_devices_work_during_an_attack(sqlite_app: Flask) -> None:
    client = signed_in_client(sqlite_app, "anna")
    stranger = browser(sqlite_app)
    for _ in range(30):
        stranger.post("/api/sign-in", json={"name": "anna", "passphrase": "wrong"})
    assert client.get("/api/me").status_code == 200


@pytest.mark.usefixtures("quick")
def test_one_address_cannot_try_many_owners(shared_app: Flask) -> None:
    for number in range(20):
        outcome(shared_app, "2001:db8::1", NOW_S, name=f"owner {number}")
    assert outcome(shared_app, "2001:db8::ffff", NOW_S, name="owner 20") == "too_many_tries"
    assert outcome(shared_app, "2001:db8:0:1::1", NOW_S, name="owner 20") == "wrong"


@pytest.mark.usefixtures("quick")
def test_attempt_counters_survive_restart_and_expire(sqlite_app: Flask) -> None:
    for _ in range(9):
        outcome(sqlite_app, "192.0.2.1", NOW_S)
    assert outcome(sqlite_app, "192.0.2.1", NOW_S) == "too_many_tries"
    assert outcome(sqlite_app, "192.0.2.8", NOW_S + counters.KEPT_FOR_S + 1) == "wrong"
    with sqlite_app.app_context(), read_transaction() as connection:
        keys = connection.scalars(select(tally_table.c.key)).all()
        assert not [key for key in keys if "192.0.2.1" in key]
        assert connection.scalar(select(func.count()).select_from(tally_table)) == 3


@given(st.integers(0, 10_000), st.integers(0, 60), st.integers(1, 3600))
def test_throttle_delays_grow_up_to_the_maximum(used: int, free: int, longest_s: int) -> None:
    wait = counters.backoff_s(used, free, longest_s)
    assert 0 <= wait <= longest_s
    assert wait <= counters.backoff_s(used + 1, free, longest_s)
    assert (wait == 0) == (used < free)


@pytest.mark.parametrize(
    ("address", "key"),
    [
        ("192.0.2.1", "192.0.2.1"),
        ("::ffff:192.0.2.1", "192.0.2.1"),
        ("2001:db8::1", "2001:db8::/64"),
        ("fe80::1%eth0", "fe80::/64"),
        ("", "unknown"),
        ("a proxy", "unknown"),
    ],
)
def test_client_key_groups_addresses(address: str, key: str) -> None:
    assert counters.client_key(address) == key
