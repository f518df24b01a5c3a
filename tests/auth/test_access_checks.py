"""Checks before each request: which views need an owner, a passphrase, and are counted."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from flask import Flask, g
from sqlalchemy import update
from werkzeug.test import TestResponse

from tests.auth.conftest import KEY
from tests.memory_database import rows_of
from webapp.auth import request_checks, sessions
from webapp.auth.authenticate import cookie_name
from webapp.auth.rate_limit import RateLimiter
from webapp.auth.request_checks import (
    is_passphrase_required,
    is_public,
    passphrase_required,
    public,
    uncounted,
)
from webapp.auth.sessions import Browser
from webapp.db.engine import read_transaction, write_transaction
from webapp.db.tables import sign_in, tally

NOW_S = 1_790_000_400
PATH = "/api/me"
Ask = Callable[..., TestResponse]


@pytest.fixture
def ask(memory_app: Flask, monkeypatch: pytest.MonkeyPatch) -> Ask:
    """Return ask(view, owner_id), which sends a request of an owner to a view at PATH."""
    app = memory_app
    endpoint = next(rule.endpoint for rule in app.url_map.iter_rules() if rule.rule == PATH)
    app.extensions["rate_limiter"] = RateLimiter(100)
    monkeypatch.setattr("webapp.auth.request_checks.time.time", lambda: NOW_S + 0.5)

    def send(
        view: Callable[[], object], owner_id: int | None = None, path: str = PATH, **headers: str
    ) -> TestResponse:
        monkeypatch.setitem(app.view_functions, endpoint, view)
        sent = {"Host": "localhost", "Second-Nose-Key": KEY}
        with app.app_context(), app.test_request_context():
            if owner_id is not None:
                with write_transaction() as connection:
                    browser = Browser("", "192.0.2.1", KEY)
                    token = sessions.start(connection, owner_id, browser, NOW_S)
                sent["Cookie"] = f"{cookie_name()}={token}"
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        with app.app_context():
            base = {"REMOTE_ADDR": "192.0.2.2", "SERVER_PROTOCOL": "HTTP/1.1"}
            client = app.test_client(use_cookies=False)
            method = named.pop("method", "GET")
            return client.open(
                path, method=method, headers={**sent, **named}, environ_overrides=base
            )

    return send


def view() -> str:
    return f"owner {g.get('owner_id')}"


def marked(*marks: Callable[..., object]) -> Callable[[], object]:
    """Return a view with these marks."""

    def viewed() -> str:
        return view()

    for mark in marks:
        mark(viewed)
    return viewed


def counted(memory_app: Flask) -> list[str]:
    with read_transaction() as connection:
        return [key for (key,) in rows_of(connection, tally, "key")]


def test_marks_are_told_of_marked_views_only() -> None:
    views = [marked(), marked(public), marked(uncounted), marked(passphrase_required), None]
    assert [is_public(one) for one in views] == [False, True, True, False, False]
    items = [is_passphrase_required(one) for one in views]
    assert items == [False, False, False, True, False]


def test_view_needs_an_owner_unless_public(ask: Ask) -> None:
    refused = ask(marked())
    assert (refused.status_code, refused.json["code"]) == (401, "sign_in")
    assert ask(marked(), 1).text == "owner 1"
    assert ask(marked(public)).text == "owner None"
    assert ask(marked(public), 1).text == "owner 1"


def test_uncounted_view_ignores_the_owner(ask: Ask, memory_app: Flask) -> None:
    assert ask(marked(uncounted), 1).text == "owner None"
    assert counted(memory_app) == []


def test_requests_are_counted_by_address_and_owner(ask: Ask, memory_app: Flask) -> None:
    ask(marked(public), 1)
    assert counted(memory_app) == ["from/192.0.2.2"]
    ask(marked(), 2)
    assert counted(memory_app) == ["by/2", "from/192.0.2.2"]


def test_paths_outside_the_api_are_not_counted(ask: Ask, memory_app: Flask) -> None:
    assert ask(marked(), path="/healthz").status_code == 200
    assert counted(memory_app) == []


def test_unknown_path_of_the_api_needs_an_owner(ask: Ask) -> None:
    assert ask(marked(), path="/api/nothing").status_code == 401
    assert ask(marked(), 1, "/api/nothing").status_code == 404


@pytest.mark.parametrize("key", ["from/192.0.2.2", "by/1"])
def test_request_over_a_limit_is_refused(ask: Ask, memory_app: Flask, key: str) -> None:
    limiter: RateLimiter = memory_app.extensions["rate_limiter"]
    for _ in range(100):
        limiter.consume(key, NOW_S)
    answer = ask(marked(), 1)
    assert (answer.status_code, answer.headers["Retry-After"]) == (429, "600")
    assert limiter._limit == 100


def test_notebook_of_another_owner_is_refused(ask: Ask) -> None:
    assert ask(marked(), 1, Second_Nose_Owner="uid 1").text == "owner 1"
    answer = ask(marked(), 1, Second_Nose_Owner="uid 2")
    assert (answer.status_code, answer.json["code"]) == (409, "other_owner")


def test_marked_view_asks_for_the_passphrase_again(
    ask: Ask, monkeypatch: pytest.MonkeyPatch
) -> None:
    answer = ask(marked(passphrase_required), 1)
    assert (answer.status_code, answer.json["code"]) == (403, "confirm")
    assert ask(marked(), 1).status_code == 200
    usual = sessions.start

    def confirmed(*given: object) -> str:
        token = usual(*given)  # type: ignore[arg-type]
        given[0].execute(update(sign_in).values(confirmed_at=NOW_S))  # type: ignore[attr-defined]
        return token

    monkeypatch.setattr(sessions, "start", confirmed)
    assert ask(marked(passphrase_required), 1).text == "owner 1"


@pytest.mark.parametrize(
    ("method", "headers", "status"),
    [
        ("GET", {"Sec_Fetch_Site": "cross-site"}, 403),
        ("HEAD", {"Sec_Fetch_Site": "same-site"}, 403),
        ("GET", {"Sec_Fetch_Site": "same-origin", "Origin": "http://a.example"}, 200),
        ("GET", {"Sec_Fetch_Site": "none"}, 200),
        ("POST", {}, 200),
        ("POST", {"Origin": "http://localhost"}, 200),
        ("POST", {"Origin": "https://localhost", "Sec_Fetch_Site": "same-origin"}, 200),
        ("POST", {"Origin": "ftp://localhost"}, 403),
        ("POST", {"Origin": "http://localhost:1"}, 403),
        ("POST", {"Origin": "http://localhost", "Sec_Fetch_Site": "cross-site"}, 403),
        ("POST", {"Sec_Fetch_Site": "cross-site"}, 403),
    ],
)
def test_other_sites_neither_read_nor_write(
    memory_app: Flask, method: str, headers: dict[str, str], status: int
) -> None:
    named = {name.replace("_", "-"): value for name, value in headers.items()}
    with memory_app.test_request_context(PATH, method=method, headers=named):
        if status == 200:
            request_checks._check_origin()
            return
        with pytest.raises(request_checks.AccessError) as refused:
            request_checks._check_origin()
    assert (refused.value.code, refused.value.status) == ("cross_origin", status)


def test_other_sites_may_link_to_pages(memory_app: Flask) -> None:
    with memory_app.test_request_context("/", headers={"Sec-Fetch-Site": "cross-site"}):
        request_checks._check_origin()


@pytest.mark.parametrize(
    ("host", "accepted"),
    [
        ("localhost:8000", True),
        ("LOCALHOST", True),
        ("[::1]:8000", True),
        ("book.example", True),
        ("example", False),
        ("", False),
        (None, False),
    ],
)
def test_host_must_be_one_of_the_servers_names(
    memory_app: Flask, host: str | None, accepted: bool
) -> None:
    memory_app.config["HOSTS"] = "localhost [::1] Book.Example"
    with memory_app.test_request_context("/") as context:
        context.request.environ.pop("HTTP_HOST")
        if host is not None:
            context.request.environ["HTTP_HOST"] = host
        if accepted:
            request_checks._check_host()
            return
        with pytest.raises(request_checks.AccessError) as refused:
            request_checks._check_host()
    assert refused.value.code == "unknown_host"
