"""Metrics: off by default, for this machine only, without ids, and of all workers."""

from __future__ import annotations

import os
import re
import urllib.request
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient

from tests.auth.tenant_probe import BOTTLE, CLOCKS, change, push
from tests.conftest import AppMaker
from tests.processes import running, wait_for
from tests.temporary_postgres import free_port

LINE = re.compile(r'(?:# (?:HELP|TYPE) .+|[a-z_]+(?:\{(?:[a-z]+="[^"]*",?)*\})? [-+0-9.eEInf]+)')


@pytest.fixture
def app(make_app: AppMaker) -> Flask:
    return make_app(METRICS=1)


def figures(client: FlaskClient) -> dict[str, float]:
    """Return the value of each line."""
    return parsed(client.get("/metrics").text)


def parsed(text: str) -> dict[str, float]:
    lines = text.splitlines()
    assert [line for line in lines if not LINE.fullmatch(line)] == []
    pairs = [line.rsplit(" ", 1) for line in lines if not line.startswith("#")]
    return {name: float(value) for name, value in pairs}


def test_metrics_are_off_by_default(make_app: AppMaker) -> None:
    assert make_app().test_client().get("/metrics").status_code == 404


def test_requests_are_counted_by_route_pattern(client: FlaskClient) -> None:
    push(client, change("bottle", BOTTLE, CLOCKS[0], name="a name of mine"))
    client.get(f"/api/records/bottle/{BOTTLE}/revisions")
    client.open("/no/such/page", method="BREW")
    answer = client.get("/metrics")
    assert answer.content_type.startswith("text/plain; version=0.0.4")
    found = parsed(answer.text)
    route = 'route="/api/records/<kind>/<id_>/revisions"'
    [counted] = [name for name in found if route in name and "requests_total" in name]
    assert found[counted] == 1
    assert found[f'secondnose_request_seconds_count{{method="GET",{route}}}'] == 1
    assert found['secondnose_requests_total{method="other",route="none",status="405"}'] == 1
    assert [text for text in (BOTTLE, "mine", "no/such") if text in answer.text] == []


def test_syncs_and_palates_are_counted(client: FlaskClient) -> None:
    push(client, change("bottle", BOTTLE, CLOCKS[0], name="one"))
    push(client, change("bottle", BOTTLE, CLOCKS[0], name="one"))
    push(client, change("bottle", BOTTLE, CLOCKS[1], vintage="no year"))
    push(client)
    client.get("/api/palate")
    found = figures(client)
    outcomes = {
        one: found[f'secondnose_sync_changes_total{{outcome="{one}"}}']
        for one in ("applied", "duplicate", "refused")
    }
    assert outcomes == {"applied": 1, "duplicate": 1, "refused": 1}
    assert found["secondnose_sync_pulled_total"] >= 1
    assert found["secondnose_palate_seconds_count"] == 1
    assert found["secondnose_processes"] == 1


@pytest.mark.parametrize(
    ("address", "headers"),
    [
        ("192.0.2.7", {}),
        ("127.0.0.1", {"X-Forwarded-For": "127.0.0.1"}),
        ("127.0.0.1", {"Forwarded": "for=127.0.0.1"}),
        ("127.0.0.1", {"Via": "1.1 proxy"}),
        ("127.0.0.1", {"Host": "wine.example"}),
    ],
)
@pytest.mark.parametrize("proxies", [0, 1])
def test_metrics_are_for_this_machine_only(
    make_app: AppMaker, address: str, headers: dict[str, str], proxies: int
) -> None:
    app = make_app(METRICS=1, PROXIES=proxies, ADDRESS="https://wine.example")
    client = app.test_client()
    base = {"REMOTE_ADDR": address, "SERVER_PROTOCOL": "HTTP/1.1"}
    answer = client.get("/metrics", headers=headers, environ_overrides=base)
    assert (answer.status_code, answer.json["code"]) == (404, "not_found")
    local = {**base, "REMOTE_ADDR": "127.0.0.1"}
    assert client.get("/metrics", environ_overrides=local).status_code == 200


def test_any_worker_answers_for_all(app: Flask, tmp_path: Path) -> None:
    port, log = free_port(), tmp_path / "gunicorn.log"
    given = {"DATABASE_URL": app.config["DATABASE_URL"], "SECONDNOSE_METRICS": "1"}
    environment = {**os.environ, **given, "TMPDIR": str(tmp_path)}
    arguments = ["-m", "gunicorn", "webapp.wsgi:app", "-c", "python:webapp.gunicorn_config"]
    arguments += ["--workers", "2", "--threads", "1", "--bind", f"127.0.0.1:{port}"]

    def ask(path: str) -> str:
        with urllib.request.urlopen(f"http://127.0.0.1:{port}{path}", timeout=60) as answer:
            return str(answer.read().decode())

    def both() -> dict[str, float] | None:
        try:
            found = parsed(ask("/metrics"))
        except OSError:
            return None
        return found if found["secondnose_processes"] == 2 else None

    with running(arguments, log, env=environment) as process:
        wait_for(both, process, log)
        name = 'secondnose_requests_total{method="GET",route="/healthz",status="200"}'
        for count in range(1, 13):
            ask("/healthz")
            # Whichever worker answers has counted the requests of the other one.
            assert parsed(ask("/metrics"))[name] == count
    assert [one.name for one in tmp_path.glob("secondnose-metrics-*")] == []
