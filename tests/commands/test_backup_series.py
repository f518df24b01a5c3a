"""secondnose backup --keep and --encrypt: a series of backups, and encrypted ones."""

from __future__ import annotations

import shutil
import sqlite3
import stat
import zipfile
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from flask import Flask
from pyrage import decrypt, passphrase, x25519

from tests.auth.tenant_probe import CLOCKS, PHOTO, change, picture, push
from tests.commands import age_file
from tests.commands.test_backup import book_of, id_of
from tests.conftest import dispose
from webapp.cli import main
from webapp.commands import backup as command
from webapp.commands.backup_encryption import CONTENT, KEY
from webapp.commands.backup_files import (
    backup_time,
    backups_in,
    delete_old_backups,
    new_backup_path,
)
from webapp.commands.backup_zip import pack, read_epoch

SECRET = "four dry autumn barrels"
START = datetime(2026, 11, 1, 4, tzinfo=UTC)
EPOCH = "1a2b3c4d" * 4
Run = Callable[..., Result]


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, app: Flask) -> Run:
    """Return a function that runs the command on the app's database, with one note in it."""
    monkeypatch.setenv("DATABASE_URL", app.config["DATABASE_URL"])
    monkeypatch.setenv("SECONDNOSE_PHOTOS", app.config["PHOTO_FOLDER"])
    push(app.test_client(), change("tasting", id_of(1, 1), CLOCKS[0], words="plums"))
    dispose(app)
    return lambda *arguments, **more: CliRunner().invoke(main, [*map(str, arguments)], **more)


@pytest.fixture
def epoch(app: Flask) -> str:
    """Return the id of the app's database."""
    return read_epoch(f"file:{app.config['DATABASE_URL'].removeprefix('sqlite:///')}")


def test_backup_folder_keeps_the_latest(tmp_path: Path) -> None:
    paths = [new_backup_path(tmp_path, START + timedelta(days=day), EPOCH) for day in range(12)]
    for path in [*paths, tmp_path / "holiday.zip", tmp_path / "secondnose-old.zip"]:
        path.write_bytes(b"x")
    assert delete_old_backups(tmp_path, 7, START + timedelta(days=11), EPOCH) == 5
    assert backups_in(tmp_path) == paths[:4:-1]
    assert {one.name for one in tmp_path.iterdir()} == {
        *(one.name for one in paths[5:]),
        "holiday.zip",
        "secondnose-old.zip",
    }


def test_new_backup_is_kept_despite_names_in_the_future(
    run: Run, tmp_path: Path, epoch: str
) -> None:
    ahead = [
        new_backup_path(tmp_path, datetime(2999, 1, day, tzinfo=UTC), epoch) for day in (1, 2, 3)
    ]
    past = [new_backup_path(tmp_path, datetime(2020, 1, day, tzinfo=UTC), epoch) for day in (1, 2)]
    for path in (*ahead, *past):
        path.write_bytes(b"x")
    done = run("backup", tmp_path, "--keep", 2)
    assert done.exit_code == 0, done.output
    assert "3 backups have a time in the future" in done.output
    assert "1 older backups deleted." in done.output
    *later, new, before = backups_in(tmp_path)
    assert (later, before) == (ahead[::-1], past[1])
    assert str(new) in done.output


def test_backup_time_is_read_from_the_whole_name(tmp_path: Path) -> None:
    assert backup_time(new_backup_path(tmp_path, START, EPOCH)) == START
    assert backup_time(tmp_path / "secondnose-2026-11-01T040000Z.zip") == START
    for name in ("2026-11-31T040000Z", "2026-1-01T040000Z", "2026-11-01T040000", "old"):
        assert backup_time(tmp_path / f"secondnose-{name}.zip") is None


def test_backup_with_keep_deletes_older_ones(
    app: Flask, run: Run, tmp_path: Path, epoch: str
) -> None:
    folder = tmp_path / "backups"
    folder.mkdir()
    for day in range(3):
        new_backup_path(folder, START + timedelta(days=day), epoch).write_bytes(b"x")
    done = run("backup", folder, "--keep", 2)
    assert done.exit_code == 0, done.output
    assert "2 older backups deleted." in done.output
    latest, before = backups_in(folder)
    assert before == new_backup_path(folder, START + timedelta(days=2), epoch)
    assert run("restore", latest, "--replace").exit_code == 0
    assert book_of(app.config["DATABASE_URL"]) == {id_of(1, 1)}


def test_keep_deletes_no_backup_of_another_database(run: Run, tmp_path: Path) -> None:
    """Neither one whose name has another id, nor one of an earlier version."""
    others = [new_backup_path(tmp_path, START + timedelta(days=day), EPOCH) for day in range(3)]
    others.append(tmp_path / "secondnose-2026-11-01T040000Z.zip")
    for path in others:
        path.write_bytes(b"x")
    done = run("backup", tmp_path, "--keep", 1)
    assert done.exit_code == 0, done.output
    assert "4 backups, such as secondnose-2026-11-03" in done.output
    assert {*others} < {*backups_in(tmp_path)}


def test_failed_backup_deletes_no_older_one(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, epoch: str
) -> None:
    kept = new_backup_path(tmp_path, START, epoch)
    kept.write_bytes(b"x")

    def full(*_: object) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(command, "pack", full)
    done = run("backup", tmp_path, "--keep", 1)
    assert (done.exit_code, done.output.count("\n")) == (1, 1)
    assert backups_in(tmp_path) == [kept]


def test_backup_without_its_photos_deletes_no_older_one(
    app: Flask, run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, epoch: str
) -> None:
    client = app.test_client()
    push(client, change("photo", PHOTO, CLOCKS[0]))
    client.put(f"/api/photos/{PHOTO}", data=picture(), content_type="image/jpeg")
    dispose(app)
    folder = tmp_path / "backups"
    folder.mkdir()
    new_backup_path(folder, START, epoch).write_bytes(b"x")
    monkeypatch.setenv("SECONDNOSE_PHOTOS", str(tmp_path / "elsewhere"))
    done = run("backup", folder, "--keep", 1)
    assert (done.exit_code, len(backups_in(folder))) == (1, 2)
    assert f"Error: 1 photos are missing from the backup, because they are not in {tmp_path}" in (
        done.output
    )
    monkeypatch.setenv("SECONDNOSE_PHOTOS", app.config["PHOTO_FOLDER"])
    done = run("backup", folder, "--keep", 1)
    assert (done.exit_code, len(backups_in(folder))) == (0, 1), done.output


def test_photo_deleted_during_a_backup_is_not_missing(
    app: Flask, run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    client = app.test_client()
    push(client, change("photo", PHOTO, CLOCKS[0]))
    client.put(f"/api/photos/{PHOTO}", data=picture(), content_type="image/jpeg")
    dispose(app)

    def erase_first(*given: Any) -> object:
        shutil.rmtree(app.config["PHOTO_FOLDER"])
        with closing(
            sqlite3.connect(app.config["DATABASE_URL"].removeprefix("sqlite:///"))
        ) as book:
            book.execute("DELETE FROM photo_bytes")
            book.commit()
        return pack(*given)

    monkeypatch.setattr(command, "pack", erase_first)
    done = run("backup", tmp_path / "safe.zip")
    assert done.exit_code == 0, done.output


@pytest.fixture
def cheap(monkeypatch: pytest.MonkeyPatch) -> None:
    """Encrypt the key file of a backup with a cheap hash; decrypting follows its cost."""
    monkeypatch.setattr(passphrase, "encrypt", age_file.encrypt)


@pytest.mark.usefixtures("cheap")
@pytest.mark.parametrize("by_file", [True, False], ids=["file", "stdin"])
def test_encrypted_backup_restores(app: Flask, run: Run, tmp_path: Path, by_file: bool) -> None:
    (tmp_path / "secret").write_text(f"{SECRET}\n")
    given = ["--passphrase-file", tmp_path / "secret"] if by_file else ["--encrypt"]
    done = run("backup", tmp_path / "safe.zip", *given, input=f"{SECRET}\n")
    assert done.exit_code == 0, done.output
    assert stat.S_IMODE((tmp_path / "safe.zip").stat().st_mode) == 0o600
    assert b"plums" not in (tmp_path / "safe.zip").read_bytes()
    assert b"SQLite format" not in (tmp_path / "safe.zip").read_bytes()
    again = given if by_file else []
    restored = run("restore", tmp_path / "safe.zip", "--replace", *again, input=f"{SECRET}\n")
    assert restored.exit_code == 0, restored.output
    assert book_of(app.config["DATABASE_URL"]) == {id_of(1, 1)}
    left = [one.name for one in Path(app.config["DATABASE_URL"][10:]).parent.rglob("backup.zip")]
    assert left == []


def test_encrypted_backup_opens_by_the_age_format(run: Run, tmp_path: Path) -> None:
    """The key file and the content follow age-encryption.org/v1, so `age` opens them too."""
    done = run("backup", tmp_path / "safe.zip", "--encrypt", input=f"{SECRET}\n")
    assert done.exit_code == 0, done.output
    with zipfile.ZipFile(tmp_path / "safe.zip") as container:
        parts = {name: container.read(name) for name in (KEY, CONTENT)}
    assert all(part.startswith(b"age-encryption.org/v1\n") for part in parts.values())
    identity = x25519.Identity.from_str(passphrase.decrypt(parts[KEY], SECRET).decode().strip())
    assert decrypt(parts[CONTENT], [identity]).startswith(b"PK\x03\x04")


def damaged(file: Path) -> None:
    """Change one byte in the middle of the encrypted content."""
    content = bytearray(file.read_bytes())
    content[len(content) // 2] ^= 1
    file.write_bytes(content)


@pytest.mark.usefixtures("cheap")
@pytest.mark.parametrize("wrong", ["passphrase", "content"])
def test_undecryptable_backup_replaces_nothing(
    app: Flask, run: Run, tmp_path: Path, wrong: str
) -> None:
    run("backup", tmp_path / "safe.zip", "--encrypt", input=f"{SECRET}\n")
    if wrong == "content":
        damaged(tmp_path / "safe.zip")
    given = SECRET if wrong == "content" else "four wet spring barrels"
    done = run("restore", tmp_path / "safe.zip", "--replace", input=f"{given}\n")
    assert done.exit_code == 1
    assert "cannot be decrypted" in done.output
    assert book_of(app.config["DATABASE_URL"]) == {id_of(1, 1)}


def test_short_passphrase_makes_no_backup(run: Run, tmp_path: Path) -> None:
    done = run("backup", tmp_path / "safe.zip", "--encrypt", input="plums\n")
    assert done.exit_code == 1
    assert "at least 12 characters" in done.output
    assert not (tmp_path / "safe.zip").exists()
