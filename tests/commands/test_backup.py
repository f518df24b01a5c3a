"""secondnose backup and restore: the whole server in one file, taken while phones write."""

from __future__ import annotations

import shutil
import sqlite3
import stat
import threading
import zipfile
from contextlib import closing
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from flask import Flask
from sqlalchemy import text

from tests.auth.tenant_probe import CLOCKS, PHOTO, change, picture, push
from tests.conftest import AppMaker, dispose
from webapp import create_app
from webapp.cli import main
from webapp.db.engine import db

PHONES = 3
EACH = 25


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, app: Flask):
    """Return a function that runs the command on the app's database."""
    monkeypatch.setenv("DATABASE_URL", app.config["DATABASE_URL"])
    monkeypatch.setenv("SECONDNOSE_PHOTOS", app.config["PHOTO_FOLDER"])
    return lambda *arguments: CliRunner().invoke(main, [str(one) for one in arguments])


def id_of(phone: int, number: int) -> str:
    return f"0192f0c1-2a3b-7c4d-{phone:04x}-{number:012x}"


def write_on(app: Flask, phone: int, acknowledged: list[str]) -> None:
    """Send one note after another and add the accepted ones to `acknowledged`."""
    client = app.test_client()
    for number in range(EACH):
        id_ = id_of(phone, number)
        push(client, change("tasting", id_, CLOCKS[0], words=f"{phone} {number}"))
        acknowledged.append(id_)


def book_of(url: str) -> set[str]:
    app = create_app({"DATABASE_URL": url})
    result, cursor, more = set(), 0, True
    while more:
        page = push(app.test_client(), cursor=cursor)
        result |= {one["id"] for one in page["changes"]}
        cursor, more = page["cursor"], page["more"]
    dispose(app)
    return result


def test_backup_under_load_restores_acknowledged_records(app: Flask, run, tmp_path: Path) -> None:
    photo = app.test_client()
    push(photo, change("photo", PHOTO, CLOCKS[0]))
    photo.put(f"/api/photos/{PHOTO}", data=picture(), content_type="image/jpeg")
    acknowledged: list[list[str]] = [[] for _ in range(PHONES)]
    phones = [
        threading.Thread(target=write_on, args=(app, phone, acknowledged[phone]))
        for phone in range(PHONES)
    ]
    for phone in phones:
        phone.start()
    before = {id_ for one in acknowledged for id_ in list(one)}
    done: Result = run("backup", tmp_path / "safe.zip")
    for phone in phones:
        phone.join()
    assert done.exit_code == 0, done.output
    assert "1 photos" in done.output
    assert stat.S_IMODE((tmp_path / "safe.zip").stat().st_mode) == 0o600
    assert sorted(path.name for path in tmp_path.iterdir() if "safe" in path.name) == ["safe.zip"]

    everything = book_of(app.config["DATABASE_URL"])
    assert len(everything) == 1 + PHONES * EACH
    dispose(app)
    shutil.rmtree(app.config["PHOTO_FOLDER"])
    restored = run("restore", tmp_path / "safe.zip", "--replace")
    assert restored.exit_code == 0, restored.output
    assert stat.S_IMODE(Path(app.config["DATABASE_URL"][10:]).stat().st_mode) == 0o600
    result = book_of(app.config["DATABASE_URL"])
    assert before | {PHOTO} <= result <= everything
    again = create_app({name: app.config[name] for name in ("DATABASE_URL", "PHOTO_FOLDER")})
    assert again.test_client().get(f"/api/photos/{PHOTO}").status_code == 200
    dispose(again)


def test_restore_moves_the_existing_database_aside(app: Flask, run, tmp_path: Path) -> None:
    push(app.test_client(), change("tasting", id_of(1, 1), CLOCKS[0], words="early"))
    assert run("backup", tmp_path / "safe.zip").exit_code == 0
    push(app.test_client(), change("tasting", id_of(1, 2), CLOCKS[0], words="late"))
    dispose(app)
    refused = run("restore", tmp_path / "safe.zip")
    assert refused.exit_code == 1
    assert "--replace" in refused.output
    assert run("restore", tmp_path / "safe.zip", "--replace").exit_code == 0
    url = app.config["DATABASE_URL"]
    assert book_of(url) == {id_of(1, 1)}
    assert book_of(f"{url}.before-1") == {id_of(1, 1), id_of(1, 2)}


def damaged(tmp_path: Path, name: str) -> Path:
    file = tmp_path / "bad.zip"
    with zipfile.ZipFile(file, "w") as archive:
        archive.writestr(name, b"SQLite format 3\0" + bytes(200))
    return file


@pytest.mark.parametrize("name", ["book.sqlite", "other.sqlite"])
def test_invalid_backup_replaces_nothing(app: Flask, run, tmp_path: Path, name: str) -> None:
    push(app.test_client(), change("tasting", id_of(1, 1), CLOCKS[0], words="mine"))
    dispose(app)
    done = run("restore", damaged(tmp_path, name), "--replace")
    assert done.exit_code == 1
    assert book_of(app.config["DATABASE_URL"]) == {id_of(1, 1)}


def test_restore_writes_no_file_outside_the_photo_folder(app: Flask, run, tmp_path: Path) -> None:
    assert run("backup", tmp_path / "safe.zip").exit_code == 0
    with zipfile.ZipFile(tmp_path / "safe.zip", "a") as archive:
        for name in ("photos/../../escaped", "../escaped", f"photos/1/aa/../{'a' * 61}"):
            archive.writestr(name, b"plums")
    dispose(app)
    assert run("restore", tmp_path / "safe.zip", "--replace").exit_code == 0
    assert [path for path in tmp_path.rglob("*") if "escaped" in path.name] == []
    assert not Path(app.config["PHOTO_FOLDER"]).exists()


def test_backup_of_a_newer_version_is_rejected(app: Flask, run, tmp_path: Path) -> None:
    with app.app_context(), db.engine.begin() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    dispose(app)
    assert "newer version" in run("backup", tmp_path / "safe.zip").output
    assert "newer version" in run("serve", "--port", "0").output


@pytest.mark.postgres
def test_backup_on_postgresql_names_the_right_tool(
    make_app: AppMaker, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("DATABASE_URL", make_app("postgresql").config["DATABASE_URL"])
    for command in (["backup", "x.zip"], ["restore", str(damaged(tmp_path, "book.sqlite"))]):
        done = CliRunner().invoke(main, command)
        assert done.exit_code == 1
        assert "pg_dump" in done.output


def test_backup_is_one_file_that_passes_integrity_check(app: Flask, run, tmp_path: Path) -> None:
    run("backup", tmp_path / "safe.zip")
    with zipfile.ZipFile(tmp_path / "safe.zip") as archive:
        assert archive.namelist() == ["book.sqlite"]
        archive.extract("book.sqlite", tmp_path / "out")
    with closing(sqlite3.connect(tmp_path / "out" / "book.sqlite")) as copy:
        assert copy.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert copy.execute("PRAGMA journal_mode").fetchone() == ("delete",)
