"""No request of one owner returns data of another."""

from __future__ import annotations

import io
import json
import zipfile

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import delete, select, true

from tests.auth.conftest import add_owners, signed_in_client
from tests.auth.tenant_probe import (
    BOTTLE,
    CLOCKS,
    PHOTO,
    SECRET_WORDS,
    change,
    fill,
    filled_in,
    known_of,
    leaks,
    picture,
    push,
    routes,
    rows_of,
)
from tests.conftest import AppMaker
from webapp.api.http.common import DoneSchema
from webapp.api.http.operation import operation
from webapp.auth.request_checks import is_public
from webapp.db.engine import write_transaction
from webapp.db.tables import record


@pytest.fixture
def anna(shared_app: Flask) -> FlaskClient:
    """Return a client for Anna, who has a bottle with a revision and a photo."""
    client = signed_in_client(shared_app, "anna")
    fill(client)
    return client


@pytest.fixture
def bruno(shared_app: Flask) -> FlaskClient:
    return signed_in_client(shared_app, "bruno")


def test_no_route_returns_data_of_another_owner(
    shared_app: Flask, anna: FlaskClient, bruno: FlaskClient
) -> None:
    known = known_of(anna, shared_app)
    assert leaks(shared_app, bruno, known) == []
    # Their owner can read the same ids.
    assert anna.get(f"/api/photos/{PHOTO}").status_code == 200
    assert anna.get(f"/api/records/bottle/{BOTTLE}/revisions").json["revisions"]
    assert anna.get(f"/api/pairings/{known.ids[2]}").status_code == 200


@pytest.mark.parametrize(
    ("method", "path", "fault"),
    [
        ("get", "/api/forgotten/<id_>", "answered 200"),
        ("get", "/api/forgotten", "told of another's book"),
        ("post", "/api/forgotten", "told of another's book"),
        ("delete", "/api/forgotten/<id_>", "changed another's book"),
        ("post", "/api/forgotten/all", "changed another's book"),
    ],
)
def test_unscoped_route_is_detected(make_app: AppMaker, method: str, path: str, fault: str) -> None:
    shared_app = make_app()

    @operation("A route whose maker forgot the owner", answers={200: DoneSchema})
    def forgotten(id_: str | None = None) -> dict[str, object]:
        here = record.c.id == id_ if id_ else true()
        with write_transaction() as connection:
            found = connection.scalars(select(record.c.fields).where(here)).all()
            if "changed" in fault:
                connection.execute(delete(record).where(here))
        return {"done": list(found)}

    shared_app.add_url_rule(path, view_func=forgotten, methods=[method.upper()])
    add_owners(shared_app)
    first, second = signed_in_client(shared_app, "anna"), signed_in_client(shared_app, "bruno")
    fill(first)
    document_path = path.replace("<", "{").replace(">", "}")
    found = leaks(shared_app, second, known_of(first, shared_app), only=document_path)
    assert (method, document_path, fault) in found


def test_collection_routes_return_own_records_only(
    shared_app: Flask, anna: FlaskClient, bruno: FlaskClient
) -> None:
    # The metrics are off; tests/test_metrics.py checks what they tell.
    others = ("/api/guests/", "/metrics")
    values = {
        path: bruno.get(path)
        for method, path, _ in routes(shared_app)
        if method == "get" and "{" not in path and not path.startswith(others)
    }
    assert set(values) == {
        *("/api/devices", "/api/example", "/api/export", "/api/me", "/api/news", "/api/passkeys"),
        *("/api/openapi.json", "/api/palate", "/healthz", "/readyz"),
    }
    for path, answer in values.items():
        assert answer.status_code == 200, path
        assert b"anna's" not in answer.data, path
        assert b'"anna"' not in answer.data, path
    assert push(bruno)["changes"] == []
    with zipfile.ZipFile(io.BytesIO(values["/api/export"].data)) as archive:
        assert not [name for name in archive.namelist() if name.startswith("photos/")]
        assert json.loads(archive.read("book.json"))["owner_name"] == "bruno"


def test_equal_ids_of_two_owners_are_two_records(anna: FlaskClient, bruno: FlaskClient) -> None:
    outcome = push(bruno, change("bottle", BOTTLE, CLOCKS[1], name="bruno's bottle"))
    assert outcome["outcomes"][0]["outcome"] == "applied"
    assert [one["fields"]["name"] for one in push(bruno)["changes"]] == ["bruno's bottle"]
    put = bruno.put(f"/api/photos/{PHOTO}", data=picture(), content_type="image/jpeg")
    assert (put.status_code, put.json["code"]) == (404, "no_record")
    push(bruno, change("photo", PHOTO, CLOCKS[0], bottle=BOTTLE))
    put = bruno.put(f"/api/photos/{PHOTO}", data=picture(), content_type="image/jpeg")
    assert put.status_code == 200
    assert SECRET_WORDS in json.dumps(push(anna)["changes"])


def test_import_writes_into_the_own_notebook_only(anna: FlaskClient, bruno: FlaskClient) -> None:
    book = anna.get("/api/export").data
    before = push(anna)["changes"]
    taken = bruno.post("/api/import", data=book, content_type="application/zip")
    assert taken.json == {"records": 2, "revisions": 1, "photos": 1, "skipped": []}
    assert push(anna)["changes"] == before
    assert bruno.get(f"/api/photos/{PHOTO}").data == anna.get(f"/api/photos/{PHOTO}").data


def test_every_owner_route_needs_a_sign_in(shared_app: Flask, anna: FlaskClient) -> None:
    stranger = shared_app.test_client()
    open_to_all = set()
    for method, path, _ in routes(shared_app):
        asked = filled_in(path, BOTTLE)
        answer = stranger.open(asked, method=method.upper())
        if answer.status_code != 401:
            open_to_all.add((method, path))
        assert SECRET_WORDS not in answer.text
    assert open_to_all == {
        ("get", "/healthz"),
        ("get", "/readyz"),
        # It answers 404 here; tests/test_metrics.py checks whom it answers.
        ("get", "/metrics"),
        ("get", "/api/openapi.json"),
        ("get", "/api/example"),
        ("post", "/api/sign-in"),
        ("post", "/api/sign-out"),
        ("post", "/api/pairings/claim"),
        ("post", "/api/pairings/finish"),
        ("post", "/api/pairings/leave"),
        ("post", "/api/passkeys/sign-in"),
        ("post", "/api/passkeys/sign-in/options"),
        ("post", "/api/guests/look"),
        ("post", "/api/guests/join"),
    }


def test_cross_site_writes_are_rejected_on_every_route(
    shared_app: Flask, anna: FlaskClient
) -> None:
    walked = 0
    before = rows_of(shared_app, 1)
    for method, path, _ in routes(shared_app):
        if method == "get":
            continue
        asked = filled_in(path, PHOTO)
        for foreign in ({"Origin": "https://wine.example"}, {"Sec-Fetch-Site": "cross-site"}):
            answer = anna.open(asked, method=method.upper(), headers=foreign)
            assert (answer.status_code, answer.json["code"]) == (403, "cross_origin"), path
            walked += 1
    assert walked >= 20
    assert rows_of(shared_app, 1) == before


def test_api_views_are_documented_and_declare_access(shared_app: Flask) -> None:
    listed = {path for _, path, _ in routes(shared_app)}
    for rule in shared_app.url_map.iter_rules():
        if rule.rule.startswith("/api/"):
            assert rule.rule.replace("<", "{").replace(">", "}") in listed
    assert [
        rule.rule
        for rule in shared_app.url_map.iter_rules()
        if is_public(shared_app.view_functions[rule.endpoint]) and not rule.rule.startswith("/api/")
    ] == []
