"""Nothing that one owner may ask for shows anything of another's book."""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Iterator
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from PIL import Image

from tests.accounts.conftest import enter
from webapp.accounts.gate import is_for_anybody

BOTTLE = "0192f0c1-2a3b-7c4d-8e5f-00000000000a"
PHOTO = "0192f0c1-2a3b-7c4d-8e5f-00000000000b"
SECRET_WORDS = "anna's plums in the cold cellar"
CLOCKS = ["1790000000000-0000-annaphone1", "1790000000001-0000-annaphone1"]


def change(kind: str, id_: str, clock: str, **fields: Any) -> dict[str, Any]:
    clocks = dict.fromkeys(fields, clock)
    return {"kind": kind, "id": id_, "fields": fields, "clocks": clocks}


def push(client: FlaskClient, *changes: dict[str, Any], cursor: int = 0) -> dict[str, Any]:
    told = {"format": 1, "device": "annaphone1", "cursor": cursor, "changes": changes}
    answer = client.post("/api/sync", json=told)
    assert answer.status_code == 200, answer.text
    body: dict[str, Any] = answer.json
    return body


def picture() -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (8, 8), "#7a9").save(out, "JPEG")
    return out.getvalue()


@pytest.fixture
def anna(house: Flask) -> FlaskClient:
    """Anna, with a bottle that has an earlier value, a photo, and an offer to pair."""
    client = enter(house, "anna")
    push(client, change("bottle", BOTTLE, CLOCKS[0], name="an earlier name"))
    push(client, change("bottle", BOTTLE, CLOCKS[1], name=SECRET_WORDS))
    push(client, change("photo", PHOTO, CLOCKS[0], bottle=BOTTLE))
    put = client.put(f"/api/photos/{PHOTO}", data=picture(), content_type="image/jpeg")
    assert put.status_code == 200, put.text
    return client


@pytest.fixture
def bruno(house: Flask) -> FlaskClient:
    return enter(house, "bruno")


def routes(house: Flask) -> Iterator[tuple[str, str, dict[str, Any]]]:
    """(method, path, operation) of everything that the OpenAPI document lists."""
    document = house.test_client().get("/api/openapi.json").json
    for path, operations in document["paths"].items():
        for method, told in operations.items():
            yield method, path, told


def test_every_route_with_an_id_answers_another_owner_with_not_found(
    house: Flask, anna: FlaskClient, bruno: FlaskClient
) -> None:
    offer = anna.post("/api/pairings").json["id"]
    phone = house.test_client()
    secret = anna.post("/api/pairings").json
    phone.post("/api/pairings/claim", json={"secret": secret["url"].rpartition("/")[2]})
    device = anna.get("/api/devices").json["devices"][0]["id"]
    ids = {"/api/photos/": PHOTO, "/api/records/": BOTTLE, "/api/devices/": device}
    bodies = {"/api/pairings/{id_}/allow": {"json": {"code": "0000"}}}
    walked = []
    for method, path, _ in routes(house):
        if "{" not in path or (method, path) == ("put", "/api/photos/{id_}"):
            continue
        id_ = next((one for start, one in ids.items() if path.startswith(start)), offer)
        asked = path.replace("{kind}", "bottle").replace("{id_}", id_)
        answer = bruno.open(asked, method=method.upper(), **bodies.get(path, {}))
        assert answer.status_code == 404, (method, path, answer.text)
        walked.append((method, path))
    assert len(walked) == 6
    # The same ids are found by their owner.
    assert anna.get(f"/api/photos/{PHOTO}").status_code == 200
    assert anna.get(f"/api/records/bottle/{BOTTLE}/revisions").json["revisions"]
    assert anna.get(f"/api/pairings/{offer}").status_code == 200


def test_every_route_without_an_id_tells_of_the_askers_own_book_only(
    house: Flask, anna: FlaskClient, bruno: FlaskClient
) -> None:
    told = {
        path: bruno.get(path)
        for method, path, _ in routes(house)
        if method == "get" and "{" not in path
    }
    assert set(told) == {
        *("/api/devices", "/api/example", "/api/export", "/api/me", "/api/openapi.json"),
        *("/api/palate", "/healthz", "/readyz"),
    }
    for path, answer in told.items():
        assert answer.status_code == 200, path
        assert b"anna's" not in answer.data, path
        assert b'"anna"' not in answer.data, path
    assert push(bruno)["changes"] == []
    with zipfile.ZipFile(io.BytesIO(told["/api/export"].data)) as archive:
        assert not [name for name in archive.namelist() if name.startswith("photos/")]
        assert json.loads(archive.read("book.json"))["owner_name"] == "bruno"


def test_the_same_ids_in_two_books_are_two_records(anna: FlaskClient, bruno: FlaskClient) -> None:
    outcome = push(bruno, change("bottle", BOTTLE, CLOCKS[1], name="bruno's bottle"))
    assert outcome["outcomes"][0]["outcome"] == "applied"
    put = bruno.put(f"/api/photos/{PHOTO}", data=picture(), content_type="image/jpeg")
    assert put.status_code == 200
    assert [one["fields"]["name"] for one in push(bruno)["changes"]] == ["bruno's bottle"]
    assert SECRET_WORDS in json.dumps(push(anna)["changes"])


def test_an_imported_book_goes_into_the_importers_book_only(
    anna: FlaskClient, bruno: FlaskClient
) -> None:
    book = anna.get("/api/export").data
    before = push(anna)["changes"]
    taken = bruno.post("/api/import", data=book, content_type="application/zip")
    assert taken.json == {"records": 2, "revisions": 1, "photos": 1}
    assert push(anna)["changes"] == before
    assert bruno.get(f"/api/photos/{PHOTO}").data == anna.get(f"/api/photos/{PHOTO}").data


def test_without_sign_in_every_route_of_a_book_is_shut(house: Flask, anna: FlaskClient) -> None:
    stranger = house.test_client()
    open_to_all = set()
    for method, path, _ in routes(house):
        asked = path.replace("{kind}", "bottle").replace("{id_}", BOTTLE)
        answer = stranger.open(asked, method=method.upper())
        if answer.status_code != 401:
            open_to_all.add((method, path))
        assert SECRET_WORDS not in answer.text
    assert open_to_all == {
        ("get", "/healthz"),
        ("get", "/readyz"),
        ("get", "/api/openapi.json"),
        ("get", "/api/example"),
        ("post", "/api/sign-in"),
        ("post", "/api/sign-out"),
        ("post", "/api/pairings/claim"),
        ("post", "/api/pairings/finish"),
    }


def test_every_view_of_the_api_is_in_the_document_and_knows_its_gate(house: Flask) -> None:
    listed = {path for _, path, _ in routes(house)}
    for rule in house.url_map.iter_rules():
        if rule.rule.startswith("/api/"):
            assert rule.rule.replace("<", "{").replace(">", "}") in listed
    assert [
        rule.rule
        for rule in house.url_map.iter_rules()
        if is_for_anybody(house.view_functions[rule.endpoint]) and not rule.rule.startswith("/api/")
    ] == []
