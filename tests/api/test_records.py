"""Revisions, the example notebook, the palate, health and the OpenAPI document."""

from __future__ import annotations

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import text

from webapp import spec
from webapp.db.engine import db
from webapp.sync.parse import parse_record

ID = "0192f0c1-2a3b-7c4d-8e5f-60718293a4b5"
BOTTLE = "0192f0c1-2a3b-7c4d-8e5f-60718293a4b6"


def push(
    client: FlaskClient, fields: dict[str, Any], ms: int, device: str = "aaaaaaaa", **parts: Any
) -> None:
    clocks = dict.fromkeys(fields, f"{1790000000000 + ms}-0000-{device}")
    change = {"kind": "tasting", "id": ID, "fields": fields, "clocks": clocks, **parts}
    answer = client.post(
        "/api/sync", json={"format": 1, "device": device, "cursor": 0, "changes": [change]}
    )
    assert answer.json["outcomes"][0]["outcome"] == "applied", answer.text


def test_revisions_are_listed_latest_first(any_client: FlaskClient) -> None:
    push(any_client, {"liking": 3}, 1)
    push(any_client, {"liking": 5}, 2, "bbbbbbbb")
    push(any_client, {"liking": 7}, 3)
    payload = any_client.get(f"/api/records/tasting/{ID}/revisions").json
    assert [(one["field"], one["value"], one["device"]) for one in payload["revisions"]] == [
        ("liking", 5, "bbbbbbbb"),
        ("liking", 3, "aaaaaaaa"),
    ]
    assert payload["revisions"][0]["at_ms"] == 1790000000002
    assert [one["overruled_at"] for one in payload["revisions"]] == [3, 2]


@pytest.mark.parametrize("path", [f"tasting/{ID}", f"moon/{ID}", "tasting/x", f"bottle/{ID}"])
def test_missing_record_has_no_revisions(client: FlaskClient, path: str) -> None:
    answer = client.get(f"/api/records/{path}/revisions")
    assert (answer.status_code, answer.json["code"]) == (404, "no_record")


def test_example_data_holds_valid_records(client: FlaskClient) -> None:
    payload = client.get("/api/example").json["records"]
    kinds = [parse_record(one)["kind"] for one in payload]
    assert kinds.count("tasting") >= 60
    assert {"bottle", "visit", "pick"} <= set(kinds)


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ("", "Over before it starts."),
        ("?language=en", "Over before it starts."),
        ("?language=xx", "Over before it starts."),
        ("?language=fr", "Fini avant d’avoir commencé."),
        ("?language=it", "Finisce prima di cominciare."),
    ],
)
def test_example_has_the_texts_of_the_language(client: FlaskClient, query: str, words: str) -> None:
    records = client.get(f"/api/example{query}").json["records"]
    assert words in {one["fields"].get("words") for one in records if one["kind"] == "sheet"}


def test_palate_of_an_empty_notebook_is_a_valid_document(client: FlaskClient) -> None:
    payload = client.get("/api/palate").json
    assert payload["n_rated"] == 0
    assert payload["levels"]


def test_the_palate_follows_the_book(any_client: FlaskClient) -> None:
    first = any_client.get("/api/palate")
    again = any_client.get("/api/palate", headers={"If-None-Match": first.headers["ETag"]})
    assert (again.status_code, again.data) == (304, b"")
    push(any_client, {"liking": 7, "acidity": 6}, 1)
    moved = any_client.get("/api/palate", headers={"If-None-Match": first.headers["ETag"]})
    assert (moved.status_code, moved.json["n_rated"]) == (200, 1)
    assert moved.headers["ETag"] != first.headers["ETag"]


def test_palate_ignores_deleted_tastings(client: FlaskClient) -> None:
    push(client, {"liking": 7}, 1)
    push(client, {}, 2, deleted=True, deleted_clock="1790000000002-0000-aaaaaaaa")
    assert client.get("/api/palate").json["n_rated"] == 0


def test_health_and_readiness_are_reported(any_client: FlaskClient) -> None:
    assert any_client.get("/healthz").json == {"status": "ok"}
    assert any_client.get("/readyz").json == {"status": "ok"}


def test_a_server_over_a_changed_database_is_not_ready(any_app: Flask) -> None:
    with any_app.app_context(), db.engine.begin() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    answer = any_app.test_client().get("/readyz")
    assert (answer.status_code, answer.json["code"]) == (503, "not_ready")
    assert answer.json["detail"] == "The database is newer; install that version."


def test_every_route_of_the_api_is_in_the_openapi_document(app: Flask, client: FlaskClient) -> None:
    payload = client.get("/api/openapi.json").json
    routes = {
        rule.rule.replace("<", "{").replace(">", "}")
        for rule in app.url_map.iter_rules()
        if rule.endpoint.split(".")[0] != "client"
    }
    assert set(payload["paths"]) == routes


def test_the_openapi_document_names_every_field_of_every_kind(client: FlaskClient) -> None:
    schemas = client.get("/api/openapi.json").json["components"]["schemas"]
    for kind, fields in spec.kinds().items():
        assert set(schemas[f"{kind.capitalize()}Fields"]["properties"]) == set(fields)


@pytest.mark.parametrize("method", ["GET", "PUT", "POST", "DELETE", "OPTIONS"])
@pytest.mark.parametrize("path", ["/api/nowhere", "/api/", "/api/guests/nowhere"])
def test_an_unknown_path_of_the_api_is_a_problem_document(
    client: FlaskClient, path: str, method: str
) -> None:
    answer = client.open(path, method=method)
    assert (answer.status_code, answer.mimetype) == (404, "application/problem+json")
    assert answer.json["code"] == "not_found"


def test_a_wrong_method_names_the_right_ones(client: FlaskClient) -> None:
    for answer in (client.get("/api/sync"), client.delete("/api/sync")):
        assert (answer.status_code, answer.mimetype) == (405, "application/problem+json")
        assert set(answer.headers["Allow"].split(", ")) == {"OPTIONS", "POST"}
    options = client.options("/api/sync")
    assert set(options.headers["Allow"].split(", ")) == {"OPTIONS", "POST"}
