"""secondnose doctor: each fault of a set-up has its line, and a sound one has none."""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from flask import Flask
from sqlalchemy import text

from tests.auth.conftest import signed_in_client
from tests.auth.tenant_probe import CLOCKS, PHOTO, change, picture, push
from tests.auth.test_row_level_security import walled
from tests.conftest import AppMaker, dispose
from webapp.cli import main
from webapp.commands import doctor as command
from webapp.commands.backup_files import new_backup_path
from webapp.commands.backup_zip import read_epoch
from webapp.db.engine import db

Run = Callable[..., Result]
__all__ = ["walled"]
SUBJECTS = ["address", "proxy", "database", "owners", "role", "photos", "disk", "folder", "backup"]


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, app: Flask) -> Run:
    use_settings_of(app, monkeypatch)
    return lambda *arguments: CliRunner().invoke(main, ["doctor", *map(str, arguments)])


def use_settings_of(app: Flask, monkeypatch: pytest.MonkeyPatch) -> None:
    """Run the command on the database and the folder of an app."""
    monkeypatch.setenv("DATABASE_URL", app.config["DATABASE_URL"])
    monkeypatch.setenv("SECONDNOSE_PHOTOS", app.config["PHOTO_FOLDER"])


def levels(done: Result) -> dict[str, str]:
    """Return the level of each subject."""
    return {line.split()[1]: line.split()[0] for line in done.output.splitlines()}


def test_doctor_reports_every_subject_once(app: Flask, run: Run) -> None:
    dispose(app)
    done = run()
    assert done.exit_code == 0, done.output
    assert [line.split()[1] for line in done.output.splitlines()] == SUBJECTS
    assert len(done.output.splitlines()) <= 10
    assert set(levels(done).values()) == {"ok", "note"}


@pytest.mark.parametrize(
    ("settings", "subject", "level"),
    [
        ({"SECONDNOSE_ADDRESS": "https://wine.example"}, "proxy", "wrong"),
        ({"SECONDNOSE_PROXIES": "1"}, "proxy", "wrong"),
        ({"SECONDNOSE_ADDRESS": "http://wine.example"}, "address", "note"),
        ({"SECONDNOSE_ADDRESS": "http://wine.example"}, "owners", "wrong"),
    ],
)
def test_doctor_finds_a_wrong_setting(
    app: Flask,
    run: Run,
    monkeypatch: pytest.MonkeyPatch,
    settings: dict[str, str],
    subject: str,
    level: str,
) -> None:
    dispose(app)
    for name, value in settings.items():
        monkeypatch.setenv(name, value)
    done = run()
    assert levels(done)[subject] == level
    assert done.exit_code == (1 if "wrong" in levels(done).values() else 0)


def test_doctor_finds_an_old_schema(app: Flask, run: Run) -> None:
    with app.app_context(), db.engine.begin() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    dispose(app)
    done = run()
    assert (done.exit_code, levels(done)["database"]) == (1, "wrong")


def test_doctor_reports_an_unusable_database(
    run: Run, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    (tmp_path / "bad.sqlite").write_bytes(b"plums" * 1000)
    monkeypatch.setenv("DATABASE_URL", f"sqlite:///{tmp_path}/bad.sqlite")
    done = run()
    assert done.exit_code == 1
    assert "database" in done.output
    assert "Traceback" not in done.output


def test_doctor_finds_missing_photo_files(app: Flask, run: Run) -> None:
    client = app.test_client()
    push(client, change("photo", PHOTO, CLOCKS[0]))
    client.put(f"/api/photos/{PHOTO}", data=picture(), content_type="image/jpeg")
    dispose(app)
    assert levels(run())["photos"] == "ok"
    [stored] = [one for one in Path(app.config["PHOTO_FOLDER"]).rglob("*") if one.is_file()]
    stored.unlink()
    done = run()
    assert (done.exit_code, levels(done)["photos"]) == (1, "wrong")


def test_doctor_finds_a_full_disk(app: Flask, run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    dispose(app)
    monkeypatch.setattr(command, "MIN_FREE_BYTES", 1 << 60)
    assert levels(run())["disk"] == "wrong"


def test_doctor_finds_missing_and_old_backups(app: Flask, run: Run, tmp_path: Path) -> None:
    dispose(app)
    folder, now = tmp_path / "backups", datetime.now(UTC)
    epoch = read_epoch(f"file:{app.config['DATABASE_URL'].removeprefix('sqlite:///')}")
    assert levels(run("--backups", folder))["backup"] == "wrong"
    folder.mkdir()
    # The file itself is new, as after copying.
    new_backup_path(folder, now - timedelta(days=3), epoch).write_bytes(b"x")
    done = run("--backups", folder)
    assert (done.exit_code, levels(done)["backup"]) == (1, "wrong")
    new_backup_path(folder, now, "1a2b3c4d" * 4).write_bytes(b"x")
    assert levels(run("--backups", folder))["backup"] == "wrong"
    latest = new_backup_path(folder, now, epoch)
    latest.write_bytes(b"x")
    assert levels(run("--backups", folder))["backup"] == "ok"
    os.utime(latest, (time.time() - 3 * 86_400,) * 2)
    assert levels(run("--backups", folder))["backup"] == "ok"
    new_backup_path(folder, now + timedelta(days=3), epoch).write_bytes(b"x")
    done = run("--backups", folder)
    assert (done.exit_code, levels(done)["backup"]) == (1, "wrong")
    assert "in the future" in done.output


@pytest.mark.postgres
def test_doctor_looks_for_photos_despite_the_policies(
    walled: Flask, monkeypatch: pytest.MonkeyPatch
) -> None:
    client = signed_in_client(walled, "bruno")
    push(client, change("photo", PHOTO, CLOCKS[0]))
    client.put(f"/api/photos/{PHOTO}", data=picture(), content_type="image/jpeg")
    for one in Path(walled.config["PHOTO_FOLDER"]).rglob("*"):
        if one.is_file():
            one.unlink()
    use_settings_of(walled, monkeypatch)
    done = CliRunner().invoke(main, ["doctor"])
    assert (levels(done)["role"], levels(done)["photos"]) == ("ok", "wrong")


@pytest.mark.postgres
def test_doctor_finds_a_role_that_bypasses_the_policies(
    make_app: AppMaker, monkeypatch: pytest.MonkeyPatch
) -> None:
    use_settings_of(make_app("postgresql"), monkeypatch)
    done = CliRunner().invoke(main, ["doctor"])
    assert (done.exit_code, levels(done)["role"]) == (1, "wrong")
