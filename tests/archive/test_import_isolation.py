"""An import locks the database only briefly, and an interrupted one can be resumed."""

from __future__ import annotations

import io
import json
import threading
import zipfile
from collections.abc import Callable
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from PIL import Image
from sqlalchemy.exc import OperationalError

from tests.auth.conftest import add_owners, signed_in_client
from tests.conftest import AppMaker
from tests.locked_databases import wait_briefly
from webapp.api import archive as book_api
from webapp.archive import load

CLOCK = "1790000000000-0000-aaaaaaaa"
ZIP = {"Content-Type": "application/zip"}
HEAD = json.dumps({"format": 1, "made_at": "2026-11-25T10:00:00Z", "owner_name": "me"})


def id_of(number: int) -> str:
    return f"0192f0c1-2a3b-7c4d-8e5f-{number:012x}"


def book(records: int, photos: int = 0) -> bytes:
    """Return a ZIP with this many visits and photos, pictures included."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("book.json", HEAD)
        archive.writestr("visit.jsonl", "".join(line("visit", one) for one in range(records)))
        archive.writestr("photo.jsonl", "".join(line("photo", one) for one in range(photos)))
        for one in range(photos):
            picture = io.BytesIO()
            Image.new("RGB", (9, 7), (one, 0, 0)).save(picture, "JPEG")
            archive.writestr(f"photos/{id_of(one)}.jpg", picture.getvalue())
    return out.getvalue()


def line(kind: str, number: int) -> str:
    fields = {"name": f"visit {number}"} if kind == "visit" else {"media_type": "image/jpeg"}
    body = {"id": id_of(number), "fields": fields, "clocks": dict.fromkeys(fields, CLOCK)}
    return json.dumps(body) + "\n"


def sync(client: FlaskClient) -> Any:
    change = {"kind": "visit", "id": id_of(1), "fields": {"name": "x"}, "clocks": {"name": CLOCK}}
    body = {"format": 1, "device": "bbbbbbbb", "cursor": 0, "changes": [change]}
    return client.post("/api/sync", json=body)


@pytest.fixture
def app_with_owners(make_app: AppMaker) -> Flask:
    """Return an app with two owners on SQLite and a short timeout for a locked database."""
    app = make_app()
    add_owners(app)
    wait_briefly(app)
    return app


def run_during(
    app_with_owners: Flask,
    monkeypatch: pytest.MonkeyPatch,
    name: str,
    book_: bytes,
    now: Callable[[], Any],
) -> tuple[list[Any], Any]:
    """Call `now` while an import waits in function `name`; return its results and the response."""
    anna = signed_in_client(app_with_owners, "anna")
    reached, done, found = threading.Event(), threading.Event(), list[Any]()
    was = getattr(load, name)

    def paused(*items: Any) -> Any:
        reached.set()
        assert done.wait(60)
        return was(*items)

    monkeypatch.setattr(load, name, paused)

    def look() -> None:
        assert reached.wait(60)
        found.append(now())
        done.set()

    other = threading.Thread(target=look)
    other.start()
    answer = anna.post("/api/import", data=book_, headers=ZIP)
    other.join()
    return found, answer


@pytest.mark.parametrize("name", ["sanitize_unless_clean", "pause"])
def test_another_owner_syncs_during_an_import(
    app_with_owners: Flask, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    bruno = signed_in_client(app_with_owners, "bruno")
    found, answer = run_during(
        app_with_owners, monkeypatch, name, book(1_200, 2), lambda: sync(bruno)
    )
    assert [one.status_code for one in found] == [200]
    assert answer.json == {"records": 1_202, "revisions": 0, "photos": 2, "skipped": []}


def test_another_owner_syncs_during_photo_import(
    app_with_owners: Flask, monkeypatch: pytest.MonkeyPatch
) -> None:
    # In an import without records, the quota check is the first transaction that writes.
    bruno = signed_in_client(app_with_owners, "bruno")
    found, _ = run_during(
        app_with_owners, monkeypatch, "sanitize_unless_clean", book(0, 1), lambda: sync(bruno)
    )
    assert found[0].status_code == 200


def test_second_concurrent_import_waits(
    app_with_owners: Flask, monkeypatch: pytest.MonkeyPatch
) -> None:
    bruno = signed_in_client(app_with_owners, "bruno")

    def other() -> Any:
        return bruno.post("/api/import", data=book(1), headers=ZIP)

    found, answer = run_during(app_with_owners, monkeypatch, "pause", book(1), other)
    assert (found[0].status_code, found[0].json["code"]) == (503, "import_busy")
    assert int(found[0].headers["Retry-After"]) > 0
    assert answer.status_code == 200
    assert other().status_code == 200


def test_interrupted_import_resumes(client: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    calls, was = list[int](), load.apply_changes

    def breaks(*items: Any) -> Any:
        calls.append(1)
        if len(calls) == 2:
            raise OperationalError("a statement", {}, Exception("disk is full"))
        return was(*items)

    with monkeypatch.context() as patch:
        patch.setattr(load, "apply_changes", breaks)
        answer = client.post("/api/import", data=book(1_200, 2), headers=ZIP)
    assert (answer.status_code, answer.json["code"]) == (503, "import_interrupted")
    assert answer.json["errors"] == {"records": 500, "revisions": 0, "photos": 0}
    again = client.post("/api/import", data=book(1_200, 2), headers=ZIP)
    assert again.json == {"records": 702, "revisions": 0, "photos": 2, "skipped": []}
    assert client.get(f"/api/photos/{id_of(1)}").status_code == 200


def test_failed_first_write_reports_no_change(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    def breaks(*_: Any) -> Any:
        raise OperationalError("a statement", {}, Exception("locked"))

    monkeypatch.setattr(load, "apply_changes", breaks)
    answer = client.post("/api/import", data=book(3), headers=ZIP)
    assert (answer.status_code, answer.json["code"]) == (503, "database_busy")


def test_import_skips_a_photo_without_a_record(client: FlaskClient, app: Flask) -> None:
    out = io.BytesIO(book(1, 1))
    with zipfile.ZipFile(out, "a") as archive:
        archive.writestr(f"photos/{id_of(9)}.jpg", archive.read(f"photos/{id_of(0)}.jpg") + b"")
    answer = client.post("/api/import", data=out.getvalue(), headers=ZIP)
    assert answer.json == {"records": 2, "revisions": 0, "photos": 1, "skipped": []}
    assert client.get(f"/api/photos/{id_of(9)}").status_code == 404


@pytest.mark.parametrize(
    ("settings", "code"),
    [
        ({"MAX_RECORDS": 10}, "too_many_records"),
        ({"MAX_PHOTOS": 1}, "too_many_photos"),
        ({"MAX_PHOTO_STORE_BYTES": 700}, "too_many_photo_bytes"),
    ],
)
def test_import_over_the_quota_is_rejected_whole(
    make_app: AppMaker, settings: dict[str, int], code: str
) -> None:
    app = make_app(**settings)
    client = app.test_client()
    answer = client.post("/api/import", data=book(9, 2), headers=ZIP)
    assert (answer.status_code, answer.json["code"]) == (422, code)
    assert answer.json["errors"]["bound"] in settings.values()
    body = {"format": 1, "device": "bbbbbbbb", "cursor": 0, "changes": []}
    assert client.post("/api/sync", json=body).json["cursor"] == 0


def test_import_reports_a_full_disk(client: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: Any) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(book_api, "export_archive", full)
    answer = client.get("/api/export")
    assert (answer.status_code, answer.json["code"]) == (507, "no_room")
    assert int(answer.headers["Retry-After"]) > 0
