"""An interrupted import resumes when the same archive is sent again."""

from __future__ import annotations

import io
import json
import os
import shutil
import signal
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from PIL import Image
from sqlalchemy.exc import OperationalError

from tests.archive.test_roundtrip import book_of
from tests.conftest import dispose
from tests.forked_process import run_to_end
from webapp import create_app
from webapp.archive import load
from webapp.records.quota import OverQuota

ZIP = {"Content-Type": "application/zip"}
CLOCK = "1790000000000-0000-aaaaaaaa"
EARLIER = "1780000000000-0000-aaaaaaaa"
# Small batches have the same transactions as large ones.
BATCH = 5
VISITS, REVISIONS, PHOTOS = 12, 7, 3
# The functions that run once for each transaction of an import, in their order.
STEPS = ("_import_records", "_import_revisions", "store_rows")


def id_of(number: int) -> str:
    return f"0192f0c1-2a3b-7c4d-8e5f-{number:012x}"


def line(kind: str, number: int, **fields: Any) -> str:
    body = {"kind": kind, "id": id_of(number), "fields": fields}
    return json.dumps({**body, "clocks": dict.fromkeys(fields, CLOCK)}) + "\n"


def earlier_name(number: int) -> str:
    body = {"kind": "visit", "id": id_of(number), "field": "name", "value": f"earlier {number}"}
    return json.dumps({**body, "clock": EARLIER, "overruled_at": None}) + "\n"


@pytest.fixture(autouse=True)
def _small_batches(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(load, "BATCH", BATCH)


@pytest.fixture(scope="module")
def archive() -> bytes:
    """Return three batches of records, two of revisions, one of pictures."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as file:
        file.writestr("book.json", json.dumps({"format": 1}))
        visits = [line("visit", one, name=f"visit {one}") for one in range(VISITS)]
        file.writestr("visit.jsonl", "".join(visits))
        photos = [line("photo", one, media_type="image/jpeg") for one in range(PHOTOS)]
        file.writestr("photo.jsonl", "".join(photos))
        file.writestr("revisions.jsonl", "".join(map(earlier_name, range(REVISIONS))))
        for one in range(PHOTOS):
            picture = io.BytesIO()
            Image.new("RGB", (9, 7), (one, 0, 0)).save(picture, "JPEG")
            file.writestr(f"photos/{id_of(one)}.jpg", picture.getvalue())
    return out.getvalue()


@pytest.fixture(scope="module")
def whole(
    archive: bytes, empty_sqlite: Path, tmp_path_factory: pytest.TempPathFactory
) -> dict[str, Any]:
    """Return the notebook after an uninterrupted import."""
    folder = tmp_path_factory.mktemp("whole")
    shutil.copy(empty_sqlite, folder / "book.sqlite")
    url = f"sqlite:///{folder}/book.sqlite"
    app = create_app({"DATABASE_URL": url, "PHOTO_FOLDER": str(folder / "photos")})
    result = app.test_client().post("/api/import", data=archive, headers=ZIP)
    total = {"records": VISITS + PHOTOS, "revisions": REVISIONS, "photos": PHOTOS}
    assert result.json == total | {"skipped": []}
    book = book_of(app)
    dispose(app)
    return book


def fail_once(monkeypatch: pytest.MonkeyPatch, step: str, call: int, error: Exception) -> None:
    """Make the given call of a step raise after it has written."""
    was, calls = getattr(load, step), list[int]()

    def failing(*given: Any) -> Any:
        result = was(*given)
        calls.append(1)
        if len(calls) == call:
            raise error
        return result

    monkeypatch.setattr(load, step, failing)


def assert_resumes(app: Flask, archive: bytes, whole: dict[str, Any], done: dict[str, int]) -> None:
    """Send the archive twice: the first import adds what was missing, the second adds nothing."""
    client = app.test_client()
    again = client.post("/api/import", data=archive, headers=ZIP)
    total = {"records": VISITS + PHOTOS, "revisions": REVISIONS, "photos": PHOTOS}
    missing = {name: total[name] - done[name] for name in total}
    assert again.json == missing | {"skipped": []}
    assert book_of(app) == whole
    assert client.get(f"/api/photos/{id_of(PHOTOS - 1)}").status_code == 200
    third = client.post("/api/import", data=archive, headers=ZIP)
    assert third.json == dict.fromkeys(total, 0) | {"skipped": []}
    assert book_of(app) == whole


def database_error() -> Exception:
    return OperationalError("a statement", {}, Exception("the connection is gone"))


# The call of a step that fails, and what was imported before it.
at_each_step = pytest.mark.parametrize(
    ("step", "call", "done"),
    [
        ("_import_records", 2, {"records": BATCH, "revisions": 0, "photos": 0}),
        ("_import_revisions", 2, {"records": VISITS + PHOTOS, "revisions": BATCH, "photos": 0}),
        ("store_rows", 1, {"records": VISITS + PHOTOS, "revisions": REVISIONS, "photos": 0}),
    ],
    ids=STEPS,
)


@at_each_step
def test_import_resumes_after_a_database_error(
    any_app: Flask,
    archive: bytes,
    whole: dict[str, Any],
    step: str,
    call: int,
    done: dict[str, int],
) -> None:
    with pytest.MonkeyPatch.context() as patch:
        fail_once(patch, step, call, database_error())
        answer = any_app.test_client().post("/api/import", data=archive, headers=ZIP)
    assert (answer.status_code, answer.json["code"]) == (503, "import_interrupted")
    assert answer.json["errors"] == done
    assert "Send the same file again" in answer.json["detail"]
    assert_resumes(any_app, archive, whole, done)


@pytest.mark.parametrize(
    ("make_error", "status", "advice"),
    [
        (lambda: OSError(28, "No space left on device"), 507, "disk is full"),
        (lambda: OverQuota("too_many_photos", 2), 422, "delete something"),
    ],
    ids=["disk", "quota"],
)
def test_full_disk_or_quota_interrupts_an_import(
    app: Flask,
    archive: bytes,
    whole: dict[str, Any],
    make_error: Callable[[], Exception],
    status: int,
    advice: str,
) -> None:
    done = {"records": VISITS + PHOTOS, "revisions": REVISIONS, "photos": 0}
    with pytest.MonkeyPatch.context() as patch:
        fail_once(patch, "store_rows", 1, make_error())
        answer = app.test_client().post("/api/import", data=archive, headers=ZIP)
    assert (answer.status_code, answer.json["code"]) == (status, "import_interrupted")
    assert answer.json["errors"] == done
    assert advice in answer.json["detail"]
    assert_resumes(app, archive, whole, done)


@at_each_step
def test_import_resumes_after_a_kill_of_the_process(
    any_app: Flask,
    tmp_path: Path,
    archive: bytes,
    whole: dict[str, Any],
    step: str,
    call: int,
    done: dict[str, int],
) -> None:
    file = tmp_path / "archive.zip"
    file.write_bytes(archive)
    config = any_app.config
    given = (config["DATABASE_URL"], config["PHOTO_FOLDER"], str(BATCH), step, str(call), str(file))
    module, log = "tests.archive.killed_import", tmp_path / "log"
    code, output = run_to_end(module, given, os.environ, log, limit_s=300)
    assert code == -signal.SIGKILL, output
    assert_resumes(any_app, archive, whole, done)
