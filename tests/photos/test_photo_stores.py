"""A server works the same with photos in a folder and in a bucket."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import pytest
from click.testing import CliRunner
from flask import Flask
from flask.testing import FlaskClient

from tests.auth.conftest import add_owners, signed_in_client
from tests.auth.test_erasure import erase
from tests.conftest import AppMaker, dispose
from tests.photo_records import push_photo
from tests.retention.test_erasure import ID, JPEG, OTHER, begin_a_new_day, picture
from tests.s3_server import S3Server
from webapp.cli import main
from webapp.photos.files import photo_files
from webapp.photos.s3 import S3Files

PHOTO = f"/api/photos/{ID}"


@pytest.fixture
def app(make_app: AppMaker, photo_location: str, monkeypatch: pytest.MonkeyPatch) -> Flask:
    made = make_app(PHOTO_FOLDER=photo_location)
    monkeypatch.setenv("DATABASE_URL", made.config["DATABASE_URL"])
    monkeypatch.setenv("SECONDNOSE_PHOTOS", photo_location)
    return made


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    """Return a client whose notebook has a photo."""
    client = app.test_client()
    push_photo(client, ID)
    assert client.put(PHOTO, data=picture(), headers=JPEG).status_code == 200
    return client


def names(app: Flask) -> list[tuple[int, str]]:
    return [*photo_files(app.config["PHOTO_FOLDER"]).all_names()]


def run(*arguments: object) -> str:
    done = CliRunner().invoke(main, [str(one) for one in arguments])
    assert done.exit_code == 0, done.output
    return done.output


def test_photo_is_served_from_its_store(client: FlaskClient) -> None:
    answer = client.get(PHOTO)
    assert (answer.status_code, answer.mimetype) == (200, "image/jpeg")
    assert client.get(PHOTO, headers={"If-None-Match": answer.headers["ETag"]}).status_code == 304


def test_replaced_photo_leaves_its_store(app: Flask, client: FlaskClient) -> None:
    before = names(app)
    assert client.put(PHOTO, data=picture("olive"), headers=JPEG).status_code == 200
    assert (len(names(app)), names(app) == before) == (1, False)


def test_lost_photo_is_missing_until_it_is_sent_again(app: Flask, client: FlaskClient) -> None:
    photo_files(app.config["PHOTO_FOLDER"]).delete_owner(1)
    assert client.get(PHOTO).status_code == 404
    with zipfile.ZipFile(io.BytesIO(client.get("/api/export").data)) as archive:
        assert [name for name in archive.namelist() if name.startswith("photos/")] == []
    client.put(PHOTO, data=picture(), headers=JPEG)
    assert client.get(PHOTO).status_code == 200


def test_exported_photo_is_imported_into_either_store(
    client: FlaskClient, make_app: AppMaker, s3_server: S3Server, monkeypatch: pytest.MonkeyPatch
) -> None:
    archive = client.get("/api/export").data
    for settings in ({}, {"PHOTO_FOLDER": s3_server.new_bucket(monkeypatch)}):
        other = make_app(**settings).test_client()
        answer = other.post("/api/import", data=archive, content_type="application/zip")
        assert answer.json["photos"] == 1
        assert other.get(PHOTO).data == client.get(PHOTO).data


def test_backup_restores_the_photos(app: Flask, client: FlaskClient, tmp_path: Path) -> None:
    stored = client.get(PHOTO).data
    assert "1 photos" in run("backup", tmp_path / "safe.zip")
    photo_files(app.config["PHOTO_FOLDER"]).delete_owner(1)
    dispose(app)
    run("restore", tmp_path / "safe.zip", "--replace")
    assert app.test_client().get(PHOTO).data == stored


def test_erased_owner_leaves_no_photo(app: Flask) -> None:
    add_owners(app)
    for name in ("anna", "bruno"):
        client = signed_in_client(app, name)
        push_photo(client, ID)
        client.put(PHOTO, data=picture(), headers=JPEG)
    assert [owner_id for owner_id, _ in names(app)] == [1, 2]
    assert erase(signed_in_client(app, "anna")).json == {"done": True}
    run("user", "remove", "bruno", "--yes")
    assert names(app) == []


def test_doctor_checks_the_store(app: Flask, client: FlaskClient) -> None:
    report = run("doctor")
    assert "1 looked for, all there" in report
    assert "photos can be written" in report
    assert len(names(app)) == 1


def test_unusable_bucket_is_reported_and_loses_nothing(
    make_app: AppMaker, s3_server: S3Server, monkeypatch: pytest.MonkeyPatch
) -> None:
    location = s3_server.new_bucket(monkeypatch)
    app = make_app(PHOTO_FOLDER=location)
    client = app.test_client()
    push_photo(client, ID)
    client.put(PHOTO, data=picture(), headers=JPEG)
    files = photo_files(location)
    assert isinstance(files, S3Files)
    with monkeypatch.context() as patch:
        patch.setattr(files, "bucket", "no-such-bucket")
        for answer in (
            client.get(PHOTO),
            client.put(PHOTO, data=picture("olive"), headers=JPEG),
            client.get("/api/export"),
        ):
            assert (answer.status_code, answer.json["code"]) == (503, "photo_store_unavailable")
            assert answer.headers["Retry-After"] == "30"
        # Notes are synced without the photos.
        begin_a_new_day(app)
        push_photo(client, OTHER)
        monkeypatch.setenv("DATABASE_URL", app.config["DATABASE_URL"])
        monkeypatch.setenv("SECONDNOSE_PHOTOS", location)
        report = CliRunner().invoke(main, ["doctor"])
        assert report.exit_code == 1
        assert report.output.count("NoSuchBucket") == 1
    assert client.get(PHOTO).status_code == 200
