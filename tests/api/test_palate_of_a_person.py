"""The palate of a person in the notebook is learned from the sheets of led tastings."""

from __future__ import annotations

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from tests.auth.conftest import add_owners, signed_in_client
from webapp import spec
from webapp.api import palate

STYLE = spec.load("styles")["styles"][0]["style_id"]
OTHER = spec.load("styles")["styles"][9]["style_id"]


def id_of(number: int) -> str:
    return f"0192f0c1-2a3b-7c4d-8e5f-{number:012d}"


TABLE, BOTTLE, GLASS, GUEST, PERSON, SHEET = (id_of(number) for number in range(1, 7))
AGREED = {"name": "Ann", "agreed_at": "2026-11-01T20:00:00Z"}


def push(client: FlaskClient, ms: int, *records: tuple[str, str, dict[str, Any]]) -> None:
    clock = f"{1790000000000 + ms}-0000-aaaaaaaa"
    changes = [
        {"kind": kind, "id": id_, "fields": fields, "clocks": dict.fromkeys(fields, clock)}
        for kind, id_, fields in records
    ]
    body = {"format": 1, "device": "aaaaaaaa", "cursor": 0, "changes": changes}
    outcomes = client.post("/api/sync", json=body).json["outcomes"]
    assert {one["outcome"] for one in outcomes} == {"applied"}


def pour(client: FlaskClient, person: dict[str, Any] = AGREED) -> None:
    push(
        client,
        1,
        ("group_tasting", TABLE, {"name": "Friday"}),
        ("bottle", BOTTLE, {"style": STYLE}),
        ("glass", GLASS, {"group_tasting": TABLE, "bottle": BOTTLE, "mark": "A"}),
        ("guest", GUEST, {"group_tasting": TABLE, "name": "Ann", "person": PERSON}),
        ("person", PERSON, person),
        ("sheet", SHEET, {"group_tasting": TABLE, "glass": GLASS, "guest": GUEST, "liking": 8}),
    )


def ask(client: FlaskClient, person: str = PERSON, **headers: str) -> Any:
    return client.get(f"/api/palate?person={person}", headers=headers)


def test_person_has_a_palate_from_their_sheets(any_client: FlaskClient) -> None:
    pour(any_client)
    payload = ask(any_client).json
    assert payload["n_rated"] == 1
    assert [(one["style"], one["liking"]) for one in payload["styles"]] == [(STYLE, 8)]
    # The owner tasted nothing.
    assert any_client.get("/api/palate").json["n_rated"] == 0


@pytest.mark.parametrize("person", [{"name": "Ann"}, {"name": "Ann", "agreed_at": None}])
def test_person_who_did_not_agree_has_no_palate(
    client: FlaskClient, person: dict[str, Any]
) -> None:
    pour(client, person)
    answer = ask(client)
    assert (answer.status_code, answer.json["code"]) == (404, "no_record")


@pytest.mark.parametrize("person", ["", "x", id_of(99), "%00", TABLE])
def test_unknown_person_has_no_palate(any_client: FlaskClient, person: str) -> None:
    pour(any_client)
    assert ask(any_client, person).status_code == 404


def test_person_of_another_owner_is_unknown(any_app: Flask) -> None:
    add_owners(any_app)
    anna, bruno = (signed_in_client(any_app, name) for name in ("anna", "bruno"))
    pour(anna)
    asked = [ask(bruno), ask(bruno, **{"If-None-Match": ask(anna).headers["ETag"]}), ask(bruno)]
    for answer in asked:
        assert (answer.status_code, answer.json["code"]) == (404, "no_record")
        assert "ETag" not in answer.headers
        for secret in ("Ann", STYLE, SHEET, GUEST):
            assert secret not in answer.text
    # The same ids in the other notebook are another person, with other answers.
    pour(bruno)
    push(bruno, 2, ("sheet", SHEET, {"liking": 2}))
    likings = [ask(client).json["styles"][0]["liking"] for client in (anna, bruno, anna)]
    assert likings == [8, 2, 8]


def test_sheet_that_is_left_out_teaches_nothing(any_client: FlaskClient) -> None:
    pour(any_client)
    push(any_client, 2, ("sheet", SHEET, {"left_out": True}))
    assert ask(any_client).json["n_rated"] == 0
    push(any_client, 3, ("sheet", SHEET, {"left_out": None}))
    assert ask(any_client).json["n_rated"] == 1


def test_withdrawn_consent_removes_the_cached_palate(app: Flask) -> None:
    client = app.test_client()
    pour(client)
    assert ask(client).status_code == 200
    push(client, 2, ("person", PERSON, {"agreed_at": None}))
    assert ask(client).status_code == 404
    assert [key for key in app.extensions["palates"] if key[1] is not None] == []


def test_only_values_the_model_reads_cause_a_fit(client: FlaskClient, fits: list[int]) -> None:
    pour(client)
    tag = ask(client).headers["ETag"]
    unrelated = ("bottle", id_of(50), {"style": OTHER})
    push(client, 2, ("sheet", SHEET, {"words": "lovely"}), unrelated)
    assert ask(client, **{"If-None-Match": tag}).status_code == 304
    push(client, 3, ("glass", GLASS, {"bottle": id_of(50)}))
    moved = ask(client, **{"If-None-Match": tag})
    assert moved.json["styles"][0]["style"] == OTHER
    assert len(fits) == 2


def test_cache_of_palates_is_bounded(client: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(palate, "_MAX_CACHED", 2)
    people = [id_of(number) for number in (60, 61, 62)]
    push(client, 1, *(("person", one, AGREED) for one in people))
    for one in people:
        assert ask(client, one).json["n_rated"] == 0
    assert [key[1] for key in client.application.extensions["palates"]] == people[1:]
