"""The revisions of an archive are bounded like those that phones send."""

from __future__ import annotations

import io
import json
import zipfile
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from webapp.records.revision_limit import MAX_REVISIONS

ID = "0192f0c1-2a3b-7c4d-8e5f-60718293a4b5"
START_MS = 1_790_000_000_000


def revision(number: int) -> str:
    body = {"kind": "visit", "id": ID, "field": "name", "value": f"No. {number}"}
    clock = f"{START_MS + number}-0000-aaaaaaaa"
    return json.dumps({**body, "clock": clock, "overruled_at": None}) + "\n"


def bring(client: FlaskClient, *records: str, **parts: Any) -> Any:
    """Import a revision with these parts, and records; return the error and its place."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("book.json", '{"format":1}')
        archive.writestr("visit.jsonl", "\n".join(records))
        archive.writestr("revisions.jsonl", json.dumps({**json.loads(revision(1)), **parts}))
    headers = {"Content-Type": "application/zip"}
    answer = client.post("/api/import", data=out.getvalue(), headers=headers)
    return answer.json.get("errors") if answer.status_code != 200 else answer.json["revisions"]


def test_revision_of_no_record_is_rejected(any_app: Flask) -> None:
    client = any_app.test_client()
    told = bring(client)
    assert (told["place"], told["code"]) == ("revisions.jsonl", "no_record")
    assert told["errors"] == {"kind": "visit", "id": ID}
    assert bring(client, json.dumps({"id": ID})) == 1
    # The notebook has the record now.
    assert bring(client, value="another") == 1


@pytest.mark.parametrize(
    ("parts", "code"),
    [
        ({"field": "a" * 65}, "not_revision"),
        ({"field": "Name"}, "not_revision"),
        ({"field": "constructor"}, "not_revision"),
        ({"value": "x" * 20_001}, "not_revision"),
        ({"value": ["x" * 20_000]}, "not_revision"),
        ({"value": "\U0001f347" * 20_000}, None),
        ({"field": "deleted", "value": False}, None),
        ({"field": "a" * 64}, None),
    ],
)
def test_revision_is_bounded_like_a_field(
    client: FlaskClient, parts: dict[str, Any], code: str | None
) -> None:
    told = bring(client, json.dumps({"id": ID}), **parts)
    assert told == 1 if code is None else told["code"] == code


def test_imported_revisions_of_a_record_are_limited(client: FlaskClient) -> None:
    out, count = io.BytesIO(), MAX_REVISIONS + 700
    clocks = {"name": f"{START_MS + count}-0000-aaaaaaaa"}
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("book.json", json.dumps({"format": 1, "made_at": "2026-11-25T10:00:00Z"}))
        visit = {"id": ID, "fields": {"name": "now"}, "clocks": clocks}
        archive.writestr("visit.jsonl", json.dumps(visit) + "\n")
        archive.writestr("revisions.jsonl", "".join(map(revision, range(count))))
    headers = {"Content-Type": "application/zip"}
    answer = client.post("/api/import", data=out.getvalue(), headers=headers)
    assert answer.status_code == 200, answer.text
    stored = client.get(f"/api/records/visit/{ID}/revisions").json["revisions"]
    values = [one["value"] for one in stored]
    assert (len(values), values[0]) == (MAX_REVISIONS, f"No. {count - 1}")
