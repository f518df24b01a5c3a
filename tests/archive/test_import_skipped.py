"""A record that would get too big by the merge is left as it is, and named in the answer."""

from __future__ import annotations

import io
import json
import zipfile
from typing import Any

from click.testing import CliRunner
from flask import Flask
from sqlalchemy import select

from webapp.cli import main
from webapp.db import tables
from webapp.db.engine import read_transaction
from webapp.sync.parse import MAX_FIELDS

ZIP = {"Content-Type": "application/zip"}
TASTING = "0192f0c1-2a3b-7c4d-8e5f-00000000000a"
OTHER = "0192f0c1-2a3b-7c4d-8e5f-00000000000b"
EARLIER, LATER = "1780000000000-0000-aaaaaaaa", "1790000000000-0000-bbbbbbbb"
SKIPPED = [{"kind": "tasting", "id": TASTING, "code": "too_big"}]


def archive(*records: dict[str, Any]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as file:
        file.writestr("book.json", json.dumps({"format": 1}))
        file.writestr("tasting.jsonl", "".join(json.dumps(one) + "\n" for one in records))
    return out.getvalue()


def tasting(id_: str, clock: str, **fields: Any) -> dict[str, Any]:
    return {"id": id_, "fields": fields, "clocks": dict.fromkeys(fields, clock)}


def many_fields(prefix: str) -> dict[str, Any]:
    return {f"{prefix}_{place}": 1 for place in range(MAX_FIELDS - 10)}


def test_import_names_a_record_that_gets_too_big(app: Flask) -> None:
    client, mine, theirs = app.test_client(), many_fields("moon"), many_fields("sun")
    first = client.post("/api/import", data=archive(tasting(TASTING, EARLIER, **mine)), headers=ZIP)
    assert (first.json["records"], first.json["skipped"]) == (1, [])
    added = archive(tasting(TASTING, LATER, **theirs), tasting(OTHER, EARLIER, liking=7))
    for new in (1, 0):
        answer = client.post("/api/import", data=added, headers=ZIP)
        assert answer.status_code == 200
        assert (answer.json["records"], answer.json["skipped"]) == (new, SKIPPED)
    page = client.post("/api/sync", json={"format": 1, "device": "bbbbbbbb", "cursor": 0}).json
    kept = {one["id"]: one["fields"] for one in page["changes"]}
    assert kept == {TASTING: mine, OTHER: {"liking": 7}}


def test_skipped_record_does_not_advance_the_clock(app: Flask) -> None:
    client = app.test_client()
    mine = archive(tasting(TASTING, EARLIER, **many_fields("moon")))
    client.post("/api/import", data=mine, headers=ZIP)
    late = archive(tasting(TASTING, LATER, **many_fields("sun")))
    client.post("/api/import", data=late, headers=ZIP)
    with app.app_context(), read_transaction() as connection:
        (latest_ms,) = connection.execute(select(tables.owner.c.max_clock_ms)).scalars()
    assert latest_ms == int(EARLIER.split("-")[0])


def test_import_command_prints_skipped_records(app: Flask, tmp_path: Any) -> None:
    mine = archive(tasting(TASTING, EARLIER, **many_fields("moon")))
    app.test_client().post("/api/import", data=mine, headers=ZIP)
    file = tmp_path / "late.zip"
    file.write_bytes(archive(tasting(TASTING, LATER, **many_fields("sun"))))
    environment = {
        "DATABASE_URL": app.config["DATABASE_URL"],
        "PHOTO_FOLDER": app.config["PHOTO_FOLDER"],
    }
    result = CliRunner().invoke(main, ["import", str(file)], env=environment)
    assert result.exit_code == 0, result.output
    assert f"Not merged (too_big): tasting {TASTING}" in result.output
