"""An export can be imported in full; a damaged one is rejected, with the location of the error."""

from __future__ import annotations

import csv
import io
import json
import zipfile
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image
from sqlalchemy import select

from tests.conftest import AppMaker
from webapp.archive.parse import InvalidArchive, read_folder, read_zip
from webapp.db import tables
from webapp.db.engine import read_transaction

ID = "0192f0c1-2a3b-7c4d-8e5f-60718293a4b5"
BOTTLE = "0192f0c1-2a3b-7c4d-8e5f-60718293a4b6"
VISIT = "0192f0c1-2a3b-7c4d-8e5f-60718293a4b7"
PHOTO = "0192f0c1-2a3b-7c4d-8e5f-60718293a4b8"
ZIP = {"Content-Type": "application/zip"}
HEAD = json.dumps({"format": 1, "made_at": "2026-11-25T10:00:00Z", "owner_name": "me"})
CLOCK = "1790000000000-0000-aaaaaaaa"


def change(kind: str, id_: str, ms: int, **fields: Any) -> dict[str, Any]:
    clocks = dict.fromkeys(fields, f"{1790000000000 + ms}-0000-aaaaaaaa")
    return {"kind": kind, "id": id_, "fields": fields, "clocks": clocks}


def fill(client: FlaskClient) -> None:
    changes = [
        change(
            "bottle", BOTTLE, 1, name="=HYPERLINK(1)", producer="Cascina Inventata", vintage=2019
        ),
        change("tasting", ID, 1, bottle=BOTTLE, words="plums, 'ripe'\nand \U0001f347", liking=3),
        change("tasting", ID, 2, liking=7, moon={"new": [1, 2.5]}),
        change("photo", PHOTO, 1, bottle=BOTTLE),
        {**change("visit", VISIT, 3, name="gone"), "deleted": True, "deleted_clock": CLOCK},
    ]
    body = {"format": 1, "device": "aaaaaaaa", "cursor": 0, "changes": changes}
    assert client.post("/api/sync", json=body).status_code == 200
    out = io.BytesIO()
    Image.new("RGB", (30, 20), "olive").save(out, "PNG")
    picture = client.put(f"/api/photos/{PHOTO}", data=out.getvalue(), content_type="image/png")
    assert picture.status_code == 200


def book_of(app: Flask) -> dict[str, list[dict[str, Any]]]:
    """Return every row of the notebook without the server's own sequence numbers and times."""
    chosen = [tables.record, tables.revision, tables.photo_bytes]
    with app.app_context(), read_transaction() as connection:
        found = {
            t.name: [dict(r) for r in connection.execute(select(t)).mappings()] for t in chosen
        }
    for rows in found.values():
        for row in rows:
            row.pop("seq", None)
            row.pop("kept_at", None)
        rows.sort(key=str)
    return found


def exported(app: Flask) -> bytes:
    answer = app.test_client().get("/api/export", buffered=True)
    assert answer.mimetype == "application/zip"
    return answer.data


def test_archive_roundtrip_keeps_every_record(any_app: Flask, make_app: AppMaker) -> None:
    fill(any_app.test_client())
    other = make_app()
    result = other.test_client().post("/api/import", data=exported(any_app), headers=ZIP)
    assert result.json == {"records": 4, "revisions": 1, "photos": 1, "skipped": []}
    assert book_of(other) == book_of(any_app)
    pictures = [one.test_client().get(f"/api/photos/{PHOTO}").data for one in (any_app, other)]
    assert pictures[0] == pictures[1]


def test_importing_twice_changes_nothing(any_app: Flask) -> None:
    client = any_app.test_client()
    fill(client)
    content, before = exported(any_app), book_of(any_app)
    for _ in range(2):
        result = client.post("/api/import", data=content, headers=ZIP)
        assert result.json == {"records": 0, "revisions": 0, "photos": 0, "skipped": []}
    assert book_of(any_app) == before


def test_repeated_import_keeps_cursor_and_sends_no_changes(any_app: Flask) -> None:
    client = any_app.test_client()
    fill(client)
    content, body = exported(any_app), {"format": 1, "device": "bbbbbbbb", "cursor": 0}
    before = client.post("/api/sync", json=body).json
    client.post("/api/import", data=content, headers=ZIP)
    shown = {name: before[name] for name in ("epoch", "token", "cursor")}
    after = client.post("/api/sync", json={**body, **shown}).json
    assert (after["changes"], after["cursor"]) == ([], before["cursor"])


def test_imported_records_reach_phones_by_sync(app: Flask, make_app: AppMaker) -> None:
    fill(app.test_client())
    other = make_app().test_client()
    other.post("/api/import", data=exported(app), headers=ZIP)
    payload = other.post("/api/sync", json={"format": 1, "device": "bbbbbbbb", "cursor": 0}).json
    assert sorted(one["kind"] for one in payload["changes"]) == [
        "bottle",
        "photo",
        "tasting",
        "visit",
    ]


def test_csv_in_the_export_is_readable_and_starts_no_formula(app: Flask) -> None:
    fill(app.test_client())
    with zipfile.ZipFile(io.BytesIO(exported(app))) as archive:
        text = archive.read("tastings.csv").decode("utf-8-sig")
    (row,) = csv.DictReader(io.StringIO(text, newline=""))
    assert row["bottle_name"] == "'=HYPERLINK(1)"
    assert (row["words"], row["liking"]) == ("plums, 'ripe'\nand \U0001f347", "7")


def packed(files: dict[str, bytes | str]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            archive.writestr(name, content)
    return out.getvalue()


def line(**parts: Any) -> str:
    base = {"kind": "tasting", "id": ID, "fields": {"liking": 7}, "clocks": {"liking": CLOCK}}
    return json.dumps({**base, **parts}) + "\n"


OLD = {
    "kind": "tasting",
    "id": ID,
    "field": "liking",
    "value": 3,
    "clock": CLOCK,
    "overruled_at": None,
}
DAMAGED = [
    ({"tasting.jsonl": line()}, "book.json", "missing"),
    ({"book.json": "{"}, "book.json", "not_json"),
    ({"book.json": '{"format": 2}'}, "book.json", "other_format"),
    ({"book.json": HEAD, "tasting.jsonl": line() + "\n{]\n"}, "tasting.jsonl:3", "not_json"),
    ({"book.json": HEAD, "tasting.jsonl": line() + line()}, "tasting.jsonl:2", "record_twice"),
    (
        {"book.json": HEAD, "tasting.jsonl": line(fields={"liking": 10})},
        "tasting.jsonl:1",
        "refused",
    ),
    ({"book.json": HEAD, "tasting.jsonl": "[]"}, "tasting.jsonl:1", "refused"),
    ({"book.json": HEAD, "tasting.jsonl": b"\xff"}, "tasting.jsonl:1", "not_json"),
    (
        {"book.json": HEAD, "bottle.jsonl": line(fields={}, clocks={})},
        "bottle.jsonl:1",
        "other_kind",
    ),
    ({"book.json": HEAD, "revisions.jsonl": "{}"}, "revisions.jsonl:1", "not_revision"),
    (
        {"book.json": HEAD, "revisions.jsonl": json.dumps({**OLD, "clock": "x"})},
        "revisions.jsonl:1",
        "not_revision",
    ),
    (
        {"book.json": HEAD, "revisions.jsonl": json.dumps({**OLD, "field": "a'; --"})},
        "revisions.jsonl:1",
        "not_revision",
    ),
    ({"book.json": HEAD, "../evil.txt": "x"}, "'../evil.txt'", "unknown_file"),
    ({"book.json": HEAD, "/etc/passwd": "x"}, "'/etc/passwd'", "unknown_file"),
    ({"book.json": HEAD, f"photos/../{ID}.jpg": "x"}, f"'photos/../{ID}.jpg'", "unknown_file"),
    ({"book.json": HEAD, f"photos/{ID}.jpg": "no picture"}, f"photos/{ID}", "not_picture"),
]


@pytest.mark.parametrize(("files", "place", "code"), DAMAGED)
def test_damaged_archive_is_rejected_with_the_line(
    app: Flask, files: dict[str, bytes | str], place: str, code: str
) -> None:
    good = line(id=BOTTLE, kind="visit", fields={"name": "x"}, clocks={"name": CLOCK})
    before = book_of(app)
    result = app.test_client().post(
        "/api/import", data=packed({"visit.jsonl": good, **files}), headers=ZIP
    )
    assert result.status_code == 422
    assert (result.json["errors"]["place"], result.json["errors"]["code"]) == (place, code)
    assert book_of(app) == before


def test_non_zip_upload_is_rejected(client: FlaskClient) -> None:
    for body in (b"", b"plums", b"PK\x03\x04" + b"\0" * 40):
        result = client.post("/api/import", data=body, headers=ZIP)
        assert (result.status_code, result.json["errors"]["code"]) == (422, "not_zip")


def test_a_zip_bomb_is_not_unpacked(app: Flask) -> None:
    app.config["MAX_IMPORT_BYTES"] = 1_000_000
    bomb = packed({"book.json": HEAD, "tasting.jsonl": b" " * 20_000_000})
    result = app.test_client().post("/api/import", data=bomb, headers=ZIP)
    assert result.json["errors"] == {
        "place": "the file",
        "code": "too_large",
        "errors": {"bound": 1_000_000},
    }


def test_zip_with_false_sizes_is_rejected() -> None:
    honest = bytearray(packed({"book.json": HEAD, "tasting.jsonl": b" " * 5_000_000}))
    real = (5_000_000).to_bytes(4, "little")
    while (at := honest.find(real)) >= 0:
        honest[at : at + 4] = (10).to_bytes(4, "little")
    with pytest.raises(InvalidArchive) as refused:
        read_zip(io.BytesIO(bytes(honest)), 1_000_000)
    assert refused.value.code in ("damaged", "not_zip")


def test_duplicate_zip_entry_is_rejected() -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("book.json", HEAD)
        with pytest.warns(UserWarning, match="Duplicate"):
            archive.writestr("book.json", HEAD)
    with pytest.raises(InvalidArchive) as refused:
        read_zip(out, 1_000_000)
    assert (refused.value.place, refused.value.code) == ("book.json", "file_twice")


def test_folder_import_reads_files_and_fills_in_defaults(
    tmp_path: Path,
) -> None:
    (tmp_path / "book.json").write_text(HEAD)
    short = {"id": ID, "fields": {"name": "x"}, "clocks": {"name": CLOCK}}
    (tmp_path / "visit.jsonl").write_text(json.dumps(short) + "\n\n")
    (tmp_path / "notes.txt").write_text("of one's own")
    (record,) = read_folder(tmp_path).records()
    assert (record["kind"], record["deleted"], record["deleted_clock"]) == ("visit", False, None)


VALID = packed({"book.json": HEAD, "tasting.jsonl": line(), "revisions.jsonl": json.dumps(OLD)})


@given(
    st.lists(st.tuples(st.integers(0, len(VALID) - 1), st.integers(0, 255)), max_size=8),
    st.integers(0, len(VALID)),
)
def test_damaged_archive_is_detected_or_harmless(
    changes: list[tuple[int, int]], length: int
) -> None:
    damaged = bytearray(VALID)
    for at, byte in changes:
        damaged[at] = byte
    whole = read_zip(io.BytesIO(VALID), 1_000_000)
    try:
        read = read_zip(io.BytesIO(bytes(damaged[:length])), 1_000_000)
    except InvalidArchive:
        return
    records, revisions = [*whole.records()], [*whole.revisions()]
    assert [one for one in read.records() if one not in records] == []
    assert [one for one in read.revisions() if one not in revisions] == []


lines = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3)
    ),
)


@given(lines, st.sampled_from(["tasting.jsonl", "revisions.jsonl", "book.json"]))
def test_import_line_is_accepted_or_rejected(value: Any, name: str) -> None:
    text = json.dumps(value)
    with pytest.raises(InvalidArchive) as refused:
        read_zip(io.BytesIO(packed({"book.json": HEAD, name: text} | {name: text})), 1_000_000)
    assert refused.value.place.startswith(name)
