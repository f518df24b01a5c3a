"""The log contains events with their reason, and no content of notes."""

from __future__ import annotations

import json
import logging
import warnings
from collections.abc import Iterator

import pytest
from flask import Flask

from webapp.logs import VARIABLE, JsonFormatter, configure_logging

NOTE = "plums\n{'event': 'forged'}"


@pytest.fixture
def journal(monkeypatch: pytest.MonkeyPatch) -> Iterator[logging.Logger]:
    """Return the app's logger; restore it and the root logger afterwards."""
    root, own = logging.getLogger(), logging.getLogger("webapp")
    handlers, level = root.handlers, own.level
    yield own
    logging.captureWarnings(False)
    root.handlers = handlers
    own.setLevel(level)


def lines(capsys: pytest.CaptureFixture[str]) -> list[dict]:
    return [json.loads(line) for line in capsys.readouterr().err.splitlines()]


def test_request_is_logged_by_its_route_only(
    app: Flask, journal, monkeypatch: pytest.MonkeyPatch, capsys
) -> None:
    monkeypatch.setenv(VARIABLE, "requests")
    configure_logging()
    id_ = "0192f0c1-2a3b-7c4d-8e5f-00000000000a"
    app.test_client().get(f"/api/records/tasting/{id_}/revisions?{NOTE}", headers={"X": "y"})
    (line,) = lines(capsys)
    assert line["route"] == "/api/records/<kind>/<id_>/revisions"
    assert (line["method"], line["status"], line["event"]) == ("GET", 404, "request")
    assert id_ not in str(line)
    assert "plums" not in str(line)


def test_requests_are_logged_only_when_enabled(
    app: Flask, journal, monkeypatch: pytest.MonkeyPatch, capsys
) -> None:
    monkeypatch.delenv(VARIABLE, raising=False)
    configure_logging()
    app.test_client().get("/api/me")
    assert lines(capsys) == []


@pytest.mark.parametrize(
    ("path", "headers", "cause"),
    [
        ("/api/palate", {"Host": NOTE.partition("\n")[0]}, "unknown_host"),
        ("/api/palate", {"Sec-Fetch-Site": "cross-site"}, "cross_origin"),
        ("/api/pairings/plums", {}, "no_pairing"),
        ("/api/me", {"Second-Nose-Owner": "plums"}, "other_owner"),
    ],
)
def test_rejected_request_is_logged_with_the_reason(
    app: Flask, journal, capsys, path: str, headers: dict[str, str], cause: str
) -> None:
    configure_logging()
    assert app.test_client().get(path, headers=headers).status_code >= 400
    (line,) = lines(capsys)
    assert (line["event"], line["cause"], line["address"]) == ("refused", cause, "127.0.0.1")
    assert "plums" not in str(line)


def test_unexpected_error_is_logged_by_place_without_text(
    app: Flask, journal, monkeypatch: pytest.MonkeyPatch, capsys
) -> None:
    configure_logging()

    def broken() -> None:
        raise RuntimeError(NOTE)

    monkeypatch.setitem(app.view_functions, "accounts.me", broken)
    assert app.test_client().get("/api/me").status_code == 500
    (line,) = lines(capsys)
    assert (line["event"], line["error"]) == ("unexpected", "RuntimeError")
    assert line["where"][-1].endswith("broken")
    assert "plums" not in json.dumps(line)


def test_event_is_one_line_whatever_it_holds() -> None:
    record = logging.LogRecord("webapp", logging.INFO, "", 1, "signed_in", None, None)
    record.address = NOTE
    record.secret = "never listed"
    result = JsonFormatter().format(record)
    assert "\n" not in result
    assert json.loads(result)["address"] == NOTE
    assert "never listed" not in result


def test_library_messages_are_logged_without_their_text(journal, capsys) -> None:
    configure_logging()
    logging.getLogger("waitress.queue").warning("Task queue depth is %s", NOTE)
    (line,) = lines(capsys)
    assert line["event"] == "waitress.queue"
    assert "plums" not in str(line)


def test_python_warnings_are_logged_as_a_line(journal, capsys) -> None:
    configure_logging()
    with warnings.catch_warnings():
        warnings.simplefilter("always")
        logging.captureWarnings(True)
        warnings.warn(NOTE, stacklevel=1)
    (line,) = lines(capsys)
    assert (line["event"], "plums" in str(line)) == ("py.warnings", False)


def test_database_errors_omit_the_parameters(app: Flask) -> None:
    from sqlalchemy import text
    from sqlalchemy.exc import DBAPIError

    from webapp.db.engine import read_transaction

    with app.app_context(), pytest.raises(DBAPIError) as failed, read_transaction() as connection:
        connection.execute(text("SELECT :words FROM nowhere"), {"words": "plums"})
    assert "plums" not in str(failed.value)
