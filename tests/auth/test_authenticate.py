"""The owner of a request: by cookie and browser key, or as the single owner of the machine."""

from __future__ import annotations

import hashlib
import logging
from collections.abc import Callable
from typing import Any

import pytest
from flask import Flask, Response, g
from sqlalchemy import delete, insert, update
from sqlalchemy.exc import OperationalError

from tests.auth.conftest import KEY
from tests.memory_database import rows_of
from webapp.auth import authenticate as access
from webapp.auth import sessions
from webapp.auth.errors import ERASED, AccessError
from webapp.auth.sessions import Browser
from webapp.db.engine import read_transaction, write_transaction
from webapp.db.tables import erased, owner, safe, sign_in

NOW_S = 1_790_000_400
DAY_S = 24 * 3600
X_FORWARDED = [f"X-Forwarded-{name}" for name in ("For", "Host", "Proto")]
FORWARDED = ["Forwarded", "Via", "X-Real-Ip", *X_FORWARDED]


def signed_in(owner_id: int = 1, **given: Any) -> str:
    with write_transaction() as connection:
        return sessions.start(connection, owner_id, Browser("", "192.0.2.1", KEY), NOW_S, **given)


def owner_of(
    app: Flask,
    token: str | None = None,
    *,
    cookie: str | None = None,
    now_s: int = NOW_S,
    headers: dict[str, str] | None = None,
    address: str = "192.0.2.2",
    host: str = "localhost",
    **environ: str,
) -> int | None:
    """Authenticate a request and return its owner."""
    sent = {"Second-Nose-Key": KEY, "Host": host, **(headers or {})}
    if token is not None:
        sent["Cookie"] = f"{cookie or access_cookie(app)}={token}"
    base = {"REMOTE_ADDR": address, "SERVER_PROTOCOL": "HTTP/1.1", **environ}
    with app.test_request_context("/api/me", headers=sent, environ_overrides=base):
        # The request shares the context of the test.
        for name in ("owner_id", "sign_in", "ended_as"):
            g.pop(name, None)
        access.authenticate(now_s)
        found: int | None = g.get("owner_id")
        return found


def access_cookie(app: Flask, url: str = "http://localhost/") -> str:
    with app.test_request_context(url):
        return access.cookie_name()


def refusal(call: Callable[[], object]) -> tuple[str, Any]:
    with pytest.raises(AccessError) as refused:
        call()
    return refused.value.code, refused.value.details


def leave_anna() -> None:
    """Leave one owner, who has no passphrase."""
    with write_transaction() as connection:
        connection.execute(delete(owner).where(owner.c.id == 2))
        connection.execute(update(owner).values(passphrase=None))


def test_token_and_key_open_the_notebook(memory_app: Flask) -> None:
    tokens = [signed_in(owner_id) for owner_id in (1, 2)]
    assert [owner_of(memory_app, token) for token in tokens] == [1, 2]
    assert owner_of(memory_app) is None
    assert owner_of(memory_app, "another") is None


def test_token_with_another_key_is_refused_and_logged(
    memory_app: Flask, caplog: pytest.LogCaptureFixture
) -> None:
    token = signed_in(2)
    with caplog.at_level(logging.WARNING, "webapp.auth"):
        assert owner_of(memory_app, token, headers={"Second-Nose-Key": "another"}) is None
    assert [(one.msg, vars(one)["owner"]) for one in caplog.records] == [("key_refused", 2)]


def test_cookie_of_older_releases_is_read_too(memory_app: Flask) -> None:
    token = signed_in()
    assert owner_of(memory_app, token, cookie="secondnose") == 1
    assert owner_of(memory_app, token, cookie="__Host-secondnose") is None


def test_token_expires_180_days_after_its_last_use(memory_app: Flask) -> None:
    token = signed_in()
    assert owner_of(memory_app, token, now_s=NOW_S + 180 * DAY_S) is None
    assert owner_of(memory_app, token, now_s=NOW_S + 180 * DAY_S - 1) == 1


def test_use_is_stored_once_an_hour(memory_app: Flask) -> None:
    token = signed_in()
    for now_s, stored in [(NOW_S + 3599, NOW_S), (NOW_S + 3600,) * 2]:
        assert owner_of(memory_app, token, now_s=now_s) == 1
        with read_transaction() as connection:
            found = rows_of(connection, sign_in, "last_seen", "address")
        assert found == [(stored, "192.0.2.1")], "a thief of the phone makes requests too"


def test_request_is_answered_while_the_database_is_busy(
    memory_app: Flask, monkeypatch: pytest.MonkeyPatch
) -> None:
    def busy(*_: object) -> None:
        raise OperationalError("UPDATE", None, Exception("database is locked"))

    token = signed_in()
    monkeypatch.setattr(sessions, "touch", busy)
    assert owner_of(memory_app, token, now_s=NOW_S + DAY_S) == 1


@pytest.mark.parametrize(
    ("ended_as", "key", "code", "detail"),
    [
        ("revoked", KEY, "revoked", "This device was signed out from another one."),
        ("passphrase", KEY, "passphrase_changed", "Signed out: a new passphrase was set."),
        ("upgrade", KEY, "upgraded", "The server was upgraded; sign in once more."),
        ("upgrade", None, "update", "Update the app, and sign in there."),
        ("erased", KEY, "erased", ERASED),
        ("signed_out", KEY, "sign_in", "Sign in first."),
        (None, None, "sign_in", "Sign in first."),
    ],
)
def test_denial_tells_why_the_device_is_signed_out(
    memory_app: Flask, ended_as: str | None, key: str | None, code: str, detail: str
) -> None:
    with memory_app.test_request_context(headers={"Second-Nose-Key": key} if key else {}):
        g.ended_as = ended_as
        denied = access.denial()
    assert (denied.code, denied.detail) == (code, detail)


def test_ended_and_erased_tokens_tell_their_reason(memory_app: Flask) -> None:
    token = signed_in()
    items = []
    for change in (
        update(sign_in).values(ended_at=NOW_S, ended_as="revoked"),
        delete(sign_in),
        insert(erased).values(key=f"token/{sessions.token_hash(token)}", at_s=NOW_S),
    ):
        with write_transaction() as connection:
            connection.execute(change)
        assert owner_of(memory_app, token) is None
        items.append(g.get("ended_as"))
    assert items == ["revoked", None, "erased"]


@pytest.mark.parametrize("key", ["k" * 31, ""])
def test_short_browser_key_asks_for_an_update(memory_app: Flask, key: str) -> None:
    with memory_app.test_request_context(headers={"Second-Nose-Key": key} if key else {}):
        assert refusal(access.browser_key)[0] == "update"
    with memory_app.test_request_context(headers={"Second-Nose-Key": "k" * 32}):
        assert access.browser_key() == "k" * 32


@pytest.mark.parametrize(
    ("confirmed_at", "passed_s", "asked"),
    [(NOW_S, 599, False), (NOW_S, 600, True), (None, 0, True)],
)
def test_passphrase_is_asked_again_after_ten_minutes(
    memory_app: Flask, confirmed_at: int | None, passed_s: int, asked: bool
) -> None:
    token = signed_in(confirmed=confirmed_at is not None)
    with memory_app.test_request_context():
        with read_transaction() as connection:
            g.sign_in = sessions.find(connection, token)
        if asked:
            assert refusal(lambda: access.require_passphrase(NOW_S + passed_s))[0] == "confirm"
        else:
            access.require_passphrase(NOW_S + passed_s)


def test_no_passphrase_is_asked_where_none_is_set(memory_app: Flask) -> None:
    token = signed_in()
    with memory_app.test_request_context():
        access.require_passphrase(NOW_S)
        leave_anna()
        with read_transaction() as connection:
            g.sign_in = sessions.find(connection, token)
        access.require_passphrase(NOW_S + DAY_S)


def test_notebook_of_another_owner_is_refused(memory_app: Flask) -> None:
    with write_transaction() as connection:
        connection.execute(insert(erased).values(key="uid/gone", at_s=NOW_S))
    for uid, entry in [
        ("uid 2", ("other_owner", {"owner": {"uid": "uid 1", "name": "anna"}})),
        ("gone", ("erased", None)),
        ("", ("other_owner", {"owner": {"uid": "uid 1", "name": "anna"}})),
    ]:
        with memory_app.test_request_context(headers={"Second-Nose-Owner": uid}):
            assert refusal(lambda: access.check_owner_header(1)) == entry
    for headers in ({}, {"Second-Nose-Owner": "uid 1"}):
        with memory_app.test_request_context(headers=headers):
            access.check_owner_header(1)


def test_sync_device_is_stored_when_it_changes(
    memory_app: Flask, monkeypatch: pytest.MonkeyPatch
) -> None:
    token, stored = signed_in(), []
    monkeypatch.setattr(sessions, "remember_device", lambda _, id_, device: stored.append(device))
    with memory_app.test_request_context():
        access.remember_device("of nobody")
        with write_transaction() as connection:
            connection.execute(update(sign_in).values(device="a phone"))
            g.sign_in = sessions.find(connection, token)
        for device in ("a phone", "another"):
            access.remember_device(device)
    assert stored == ["another"]


@pytest.mark.parametrize(
    ("url", "name", "secure"),
    [("http://localhost/", "secondnose", ""), ("https://a/", "__Host-secondnose", "Secure; ")],
)
def test_cookie_is_for_this_server_and_no_script(
    memory_app: Flask, url: str, name: str, secure: str
) -> None:
    with write_transaction() as connection:
        connection.execute(insert(safe).values(id=1, epoch="an epoch", made_at=""))
    mark = hashlib.sha256(b"secondnose cookie an epoch").hexdigest()[:8]
    with memory_app.test_request_context(url):
        given = access.set_session_cookie(Response(), "a-token").headers["Set-Cookie"]
        gone = access.clear_session_cookie(Response()).headers["Set-Cookie"]
    text = f"{secure}HttpOnly; Path=/; SameSite=Strict"
    assert given.startswith(f"{name}-{mark}=a-token; Expires=")
    assert given.endswith(f"; Max-Age={400 * DAY_S}; {text}")
    assert gone == f"{name}-{mark}=; Expires=Thu, 01 Jan 1970 00:00:00 GMT; Max-Age=0; {text}"


def test_server_mark_is_read_once(memory_app: Flask) -> None:
    empty = hashlib.sha256(b"secondnose cookie ").hexdigest()[:8]
    assert access_cookie(memory_app) == f"secondnose-{empty}"
    with write_transaction() as connection:
        connection.execute(insert(safe).values(id=1, epoch="an epoch", made_at=""))
    assert access_cookie(memory_app) == f"secondnose-{empty}"


@pytest.mark.parametrize("address", ["127.0.0.1", "127.3.2.1", "::1"])
@pytest.mark.parametrize(
    "host", ["localhost", "LocalHost:80", "127.0.0.1:8000", "127.9.9.9", "[::1]", "[::1]:8000"]
)
def test_single_owner_is_at_home_on_the_machine(memory_app: Flask, address: str, host: str) -> None:
    assert owner_of(memory_app, address=address, host=host) is None
    leave_anna()
    assert owner_of(memory_app, address=address, host=host) == 1


@pytest.mark.parametrize(
    ("address", "host"),
    [
        ("192.0.2.2", "localhost"),
        ("", "localhost"),
        ("127.0.0.1", "192.0.2.1"),
        ("127.0.0.1", "localhost.example"),
        ("127.0.0.1", "[::2]:8000"),
        ("127.0.0.1", ""),
    ],
)
def test_other_addresses_and_hosts_are_not_home(memory_app: Flask, address: str, host: str) -> None:
    leave_anna()
    assert owner_of(memory_app, address=address, host=host) is None


@pytest.mark.parametrize("header", FORWARDED)
def test_request_through_a_proxy_is_not_home(memory_app: Flask, header: str) -> None:
    leave_anna()
    assert owner_of(memory_app, address="::1", headers={header: ""}) is None


@pytest.mark.parametrize(
    ("name", "value"), [("OPEN_AT_HOME", False), ("PROXIES", 1), ("ADDRESS", "https://a.example")]
)
def test_server_for_others_has_no_home(memory_app: Flask, name: str, value: object) -> None:
    leave_anna()
    memory_app.config[name] = value
    assert owner_of(memory_app, address="::1") is None


def test_old_protocol_and_passphrase_end_the_home(memory_app: Flask) -> None:
    leave_anna()
    assert owner_of(memory_app, address="::1", SERVER_PROTOCOL="HTTP/1.0") is None
    with write_transaction() as connection:
        connection.execute(update(owner).values(passphrase="a hash"))
    assert owner_of(memory_app, address="::1") is None
