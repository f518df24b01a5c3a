"""Replayed, foreign, oversized and malformed requests are rejected and leak no data."""

from __future__ import annotations

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from tests.auth.conftest import add_owners, signed_in_client

TASTING = "0192f0c1-2a3b-7c4d-8e5f-60718293a4b5"
CLOCK = "1690000000000-0000-aaaaaaaa"


def change(words: Any = "plums", clock: str = CLOCK, **parts: Any) -> dict[str, Any]:
    base = {"kind": "tasting", "id": TASTING}
    return {**base, "fields": {"words": words}, "clocks": {"words": clock}, **parts}


def send(client: FlaskClient, *changes: Any, **parts: Any) -> dict[str, Any]:
    envelope = {"format": 1, "device": "aaaaaaaa", "cursor": 0, "changes": list(changes)}
    answer = client.post("/api/sync", json={**envelope, **parts})
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json
    return found


def test_known_ids_and_tokens_give_no_access_to_others(any_app: Flask) -> None:
    add_owners(any_app)
    anna, bruno = (signed_in_client(any_app, name) for name in ("anna", "bruno"))
    hers = send(anna, change("hers"))
    shown = {name: hers[name] for name in ("epoch", "token")}
    his = send(bruno, change("his", clock="1690000000009-0000-aaaaaaaa"), **shown)
    assert [one["fields"] for one in his["changes"]] in ([], [{"words": "his"}])
    assert "hers" not in str(send(bruno, device="bbbbbbbb"))
    assert bruno.get(f"/api/records/tasting/{TASTING}/revisions").json["revisions"] == []
    again = send(anna, device="cccccccc")
    assert [one["fields"] for one in again["changes"]] == [{"words": "hers"}]


def test_replayed_requests_leave_the_records_unchanged(any_client: FlaskClient) -> None:
    clocks = [f"169000000000{number}-0000-aaaaaaaa" for number in range(4)]
    items = [change(f"text {number}", clock) for number, clock in enumerate(clocks)]
    for one in items:
        send(any_client, one)
    before = send(any_client, device="bbbbbbbb")["changes"]
    for one in (*reversed(items), items[2], items[0]):
        (outcome,) = send(any_client, one)["outcomes"]
        assert outcome["outcome"] == "duplicate"
    assert send(any_client, device="cccccccc")["changes"] == before
    earlier = any_client.get(f"/api/records/tasting/{TASTING}/revisions").json["revisions"]
    assert [one["value"] for one in earlier] == ["text 2", "text 1", "text 0"]


@pytest.mark.parametrize(
    "bad",
    [
        change("x" * 5_000_000),
        change(moon=1, fields={"moon": "x" * 5_000_000}, clocks={"moon": CLOCK}),
        change(id="../../etc/passwd"),
        change(id=TASTING.upper()),
        change(kind="owner"),
        change(fields={"__proto__": 1}, clocks={"__proto__": CLOCK}),
        change(
            fields={f"f{n}": 1 for n in range(900)}, clocks={f"f{n}": CLOCK for n in range(900)}
        ),
        change(clock="9999999999999-ffff-" + "z" * 33),
        change(deleted=True),
        change(deleted="yes", deleted_clock=CLOCK),
        [],
        None,
        1e308,
    ],
    ids=lambda bad: str(bad)[:24],
)
def test_hostile_change_is_rejected_alone(client: FlaskClient, bad: Any) -> None:
    result = send(client, bad, change())
    assert [one["outcome"] for one in result["outcomes"]] == ["refused", "applied"]
    assert result["outcomes"][0]["errors"]
    assert len(str(result)) < 2_000


def test_ten_megabytes_are_rejected_unread(client: FlaskClient) -> None:
    answer = client.post("/api/sync", json={"changes": [change("x" * 10_000_000)]})
    assert (answer.status_code, answer.json["code"]) == (413, "request_entity_too_large")
