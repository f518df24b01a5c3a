"""Log entries for sign-ins, failed attempts, pairings and floods: event and owner."""

from __future__ import annotations

import logging
from typing import Any

import pytest
from flask import Flask

from tests.auth.conftest import KEY, WORDS
from webapp.auth import login, pairing, passphrase, sessions
from webapp.auth.errors import AccessError
from webapp.auth.rate_limit import RateLimiter
from webapp.auth.sessions import Browser
from webapp.db.engine import write_transaction

NOW_S = 1_790_000_400
HERE = "192.0.2.1"
PHONE = Browser("a phone", HERE, KEY)
NEW = "nine loud copper kettles"


@pytest.fixture
def journal(caplog: pytest.LogCaptureFixture) -> pytest.LogCaptureFixture:
    caplog.set_level(logging.INFO, logger="webapp")
    return caplog


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Replace hashing by plain comparison."""
    monkeypatch.setattr(passphrase, "verify", lambda given, kept: given in WORDS.values())
    monkeypatch.setattr(passphrase, "needs_rehash", lambda kept: False)
    monkeypatch.setattr(passphrase, "rehash", lambda given: f"hash of {given}")


def events(journal: pytest.LogCaptureFixture, *names: str) -> list[tuple[Any, ...]]:
    """Return (level, event, selected extras) of all log entries."""
    return [
        (record.levelname, record.getMessage(), *(getattr(record, name) for name in names))
        for record in journal.records
        if record.name.startswith("webapp.auth")
    ]


def test_sign_in_is_logged_with_owner_and_address(
    sqlite_app: Flask, journal: pytest.LogCaptureFixture
) -> None:
    with sqlite_app.app_context():
        login.sign_in("anna", WORDS["anna"], PHONE, NOW_S)
    assert events(journal, "owner", "address") == [("INFO", "signed_in", 1, HERE)]


@pytest.mark.parametrize(("name", "known"), [("anna", True), ("nobody", False)])
def test_failed_sign_in_is_logged_without_the_name(
    sqlite_app: Flask, journal: pytest.LogCaptureFixture, name: str, known: bool
) -> None:
    with sqlite_app.app_context(), pytest.raises(AccessError):
        login.sign_in(name, "wrong", PHONE, NOW_S)
    assert events(journal, "address", "known") == [("WARNING", "sign_in_failed", HERE, known)]


def test_throttled_sign_in_is_logged_with_the_delay(
    sqlite_app: Flask, journal: pytest.LogCaptureFixture
) -> None:
    with sqlite_app.app_context():
        for _ in range(6):
            with pytest.raises(AccessError) as refused:
                login.sign_in("anna", "wrong", PHONE, NOW_S)
    assert (refused.value.code, refused.value.retry_after_s) == ("too_many_tries", 2)
    del journal.records[:5]
    assert events(journal, "wait_s") == [("WARNING", "sign_in_throttled", 2)]


def test_passphrase_change_and_rejection_are_logged(
    sqlite_app: Flask, journal: pytest.LogCaptureFixture
) -> None:
    with sqlite_app.app_context():
        login.change_passphrase(1, None, WORDS["anna"], NEW, PHONE, NOW_S)
        with pytest.raises(AccessError):
            login.change_passphrase(1, None, "wrong", NEW, PHONE, NOW_S)
    assert events(journal, "owner", "address") == [
        ("INFO", "passphrase_changed", 1, HERE),
        ("WARNING", "passphrase_refused", 1, HERE),
    ]


def test_pairing_is_logged_on_approval_and_completion(
    sqlite_app: Flask, journal: pytest.LogCaptureFixture
) -> None:
    with sqlite_app.app_context(), write_transaction() as connection:
        maker = sessions.find(connection, sessions.start(connection, 2, PHONE, NOW_S))
        assert maker is not None
        made = pairing.create_offer(connection, 2, maker.id, NOW_S)
        taken = pairing.claim_offer(connection, made.secret, "the new", NOW_S)
        pairing.approve(connection, 2, maker.id, made.id, taken.code, NOW_S)
        pairing.complete(connection, taken.claim, HERE, KEY, NOW_S)
    assert events(journal, "owner") == [("INFO", "pairing_allowed", 2), ("INFO", "paired", 2)]
    assert journal.records[-1].address == HERE  # type: ignore[attr-defined]


def test_rate_limit_breach_is_logged_with_its_key(
    sqlite_app: Flask, journal: pytest.LogCaptureFixture
) -> None:
    with sqlite_app.app_context():
        limiter = RateLimiter(1)
        limiter.consume("by/1", NOW_S)
        with pytest.raises(AccessError):
            limiter.consume("by/1", NOW_S)
    assert events(journal, "key") == [("WARNING", "too_many_requests", "by/1")]
