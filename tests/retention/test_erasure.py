"""Deleted photos are hidden, return when restored, and are removed from the disk in the end."""

from __future__ import annotations

import hashlib
import io
import time
import zipfile
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient
from PIL import Image
from sqlalchemy import delete, update

from tests.conftest import AppMaker
from tests.photo_records import CLOCK_MS, push_photo
from tests.s3_server import S3Server
from webapp.auth.owners import set_current_owner
from webapp.db.engine import write_transaction
from webapp.db.tables import daily_seq, owner
from webapp.photos.files import photo_files
from webapp.retention.daily_seq import DAY_S
from webapp.retention.erasure import purge_deleted
from webapp.retention.schedule import PurgedToday
from webapp.spec import deleted_kept_days

ID = "0192f0c1-2a3b-7c4d-8e5f-60718293a4b5"
OTHER = "0192f0c1-2a3b-7c4d-8e5f-60718293a4b6"
JPEG = {"Content-Type": "image/jpeg"}
OWNER = 1
DAY_MS = DAY_S * 1000
GRACE_MS = deleted_kept_days() * DAY_MS
DELETED_MS = CLOCK_MS + 60_000
# The first purge of a test, which notes what was deleted by then.
NOTED_MS = 4 * CLOCK_MS


def picture(colour: str = "maroon") -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (30, 20), colour).save(out, "JPEG")
    return out.getvalue()


def put(client: FlaskClient, id_: str = ID, colour: str = "maroon") -> None:
    answer = client.put(f"/api/photos/{id_}", data=picture(colour), headers=JPEG)
    assert answer.status_code == 200, answer.text


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgres), "s3"])
def any_app(
    request: pytest.FixtureRequest, make_app: AppMaker, monkeypatch: pytest.MonkeyPatch
) -> Flask:
    """Return an app for each database, with photos in a folder, and one with photos in a bucket."""
    if request.param != "s3":
        return make_app(request.param)
    server: S3Server = request.getfixturevalue("s3_server")
    return make_app(PHOTO_FOLDER=server.new_bucket(monkeypatch))


def files(app: Flask) -> list[str]:
    """Return the name of every file in the folder, or of every photo in the bucket."""
    location = app.config["PHOTO_FOLDER"]
    if location.startswith("s3:"):
        return [sha for _, sha in photo_files(location).all_names()]
    return [path.name for path in Path(location).rglob("*") if path.is_file()]


def erase(app: Flask, now_ms: int) -> int:
    with app.test_request_context():
        set_current_owner(OWNER)
        return purge_deleted(
            write_transaction, photo_files(app.config["PHOTO_FOLDER"]), OWNER, 30, now_ms
        )


def begin_a_new_day(app: Flask) -> None:
    """Forget that anything was deleted today, as on a new day."""
    app.extensions["purged_today"] = PurgedToday()
    with app.app_context(), write_transaction() as connection:
        connection.execute(delete(daily_seq))


def exported(client: FlaskClient) -> list[str]:
    with zipfile.ZipFile(io.BytesIO(client.get("/api/export").data)) as archive:
        return [name for name in archive.namelist() if name.startswith("photos/")]


@pytest.fixture
def book(any_app: Flask) -> FlaskClient:
    """Return a client whose notebook has one photo."""
    client = any_app.test_client()
    push_photo(client, ID)
    put(client)
    return client


def test_deleted_photo_is_not_served(book: FlaskClient) -> None:
    assert exported(book) == [f"photos/{ID}.jpg"]
    push_photo(book, ID, deleted_ms=DELETED_MS)
    assert book.get(f"/api/photos/{ID}").status_code == 404
    assert exported(book) == []


def test_restored_photo_is_served_again(any_app: Flask, book: FlaskClient) -> None:
    push_photo(book, ID, deleted_ms=DELETED_MS)
    assert erase(any_app, NOTED_MS) == 0
    push_photo(book, ID, at=120_000)
    assert erase(any_app, NOTED_MS + GRACE_MS) == 0
    assert book.get(f"/api/photos/{ID}").status_code == 200


def test_photo_file_is_deleted_after_the_grace_period(any_app: Flask, book: FlaskClient) -> None:
    push_photo(book, ID, deleted_ms=DELETED_MS)
    assert erase(any_app, NOTED_MS) == 0
    assert erase(any_app, NOTED_MS + GRACE_MS - DAY_MS) == 0
    assert len(files(any_app)) == 1
    assert erase(any_app, NOTED_MS + GRACE_MS) == 1
    assert files(any_app) == []
    push_photo(book, ID, at=120_000)
    assert book.get(f"/api/photos/{ID}").status_code == 404


@pytest.mark.parametrize("days", [-5_000, 5_000])
def test_photo_grace_period_ignores_the_phone_clock(any_app: Flask, days: int) -> None:
    """A backdated deletion deletes nothing early; one from the future keeps nothing for longer."""
    client = any_app.test_client()
    with any_app.app_context(), write_transaction() as connection:
        # As after the server's own clock was wrong; otherwise it accepts no clock from the future.
        connection.execute(update(owner).values(max_clock_ms=CLOCK_MS + 6_000 * DAY_MS))
    push_photo(client, ID, at=-6_000 * DAY_MS)
    put(client)
    push_photo(client, ID, deleted_ms=CLOCK_MS + days * DAY_MS)
    noted_ms = time.time_ns() // 1_000_000 + DAY_MS
    assert erase(any_app, noted_ms) == 0
    assert erase(any_app, noted_ms + GRACE_MS - DAY_MS) == 0
    assert erase(any_app, noted_ms + GRACE_MS) == 1
    assert files(any_app) == []


def test_photo_file_shared_by_another_photo_is_retained(any_app: Flask, book: FlaskClient) -> None:
    push_photo(book, OTHER)
    put(book, OTHER)
    push_photo(book, ID, deleted_ms=DELETED_MS)
    erase(any_app, NOTED_MS)
    assert erase(any_app, NOTED_MS + GRACE_MS) == 1
    assert book.get(f"/api/photos/{OTHER}").status_code == 200


def test_replaced_photo_file_is_deleted_at_once(any_app: Flask, book: FlaskClient) -> None:
    put(book, colour="olive")
    (left,) = files(any_app)
    content = book.get(f"/api/photos/{ID}").data
    assert left == hashlib.sha256(content).hexdigest()


def test_photo_without_a_record_is_not_stored(any_app: Flask) -> None:
    client = any_app.test_client()
    answer = client.put(f"/api/photos/{ID}", data=picture(), headers=JPEG)
    assert (answer.status_code, answer.json["code"]) == (404, "no_record")
    assert files(any_app) == []


def test_photo_uploaded_after_the_deletion_waits(any_app: Flask) -> None:
    client = any_app.test_client()
    push_photo(client, ID)
    push_photo(client, ID, deleted_ms=DELETED_MS)
    put(client)
    assert client.get(f"/api/photos/{ID}").status_code == 404
    erase(any_app, NOTED_MS)
    assert erase(any_app, NOTED_MS + GRACE_MS) == 1


def test_old_orphan_files_are_deleted_and_new_ones_kept(any_app: Flask, book: FlaskClient) -> None:
    [stored], orphan = files(any_app), "ab" * 32
    location = any_app.config["PHOTO_FOLDER"]
    photo_files(location).write(OWNER, orphan, b"left behind")
    names = {stored, orphan}
    if not location.startswith("s3:"):
        # A part of a file, which a bucket never has.
        Path(location, str(OWNER), "ab", "tmpabc").write_bytes(b"left")
        names.add("tmpabc")
    now_ms = time.time_ns() // 1_000_000
    erase(any_app, now_ms)
    assert set(files(any_app)) == names
    erase(any_app, now_ms + 2 * DAY_MS)
    assert files(any_app) == [stored]
    assert book.get(f"/api/photos/{ID}").status_code == 200


def test_first_sync_of_a_day_runs_the_erasure(make_app: AppMaker) -> None:
    app = make_app(PHOTO_GRACE_DAYS=0)
    client = app.test_client()
    push_photo(client, ID)
    put(client)
    push_photo(client, ID, deleted_ms=DELETED_MS)
    begin_a_new_day(app)
    push_photo(client, OTHER)
    assert files(app) == []


@pytest.mark.parametrize(
    ("settings", "code"),
    [
        ({"MAX_PHOTOS": 1}, "too_many_photos"),
        ({"MAX_PHOTO_STORE_BYTES": 500}, "too_many_photo_bytes"),
    ],
)
def test_photo_over_the_quota_is_rejected(
    make_app: AppMaker, settings: dict[str, int], code: str
) -> None:
    app = make_app(**settings)
    client = app.test_client()
    for id_ in (ID, OTHER):
        push_photo(client, id_)
    put(client)
    answer = client.put(f"/api/photos/{OTHER}", data=picture("olive"), headers=JPEG)
    values = {"code": code, "bound": next(iter(settings.values()))}
    assert (answer.status_code, answer.json["errors"]) == (422, {"photo": [values]})
    assert len(files(app)) == 1
    # A stored photo can be replaced at the limit.
    put(client, colour="olive")
