"""Backups and exports replace nothing else, and leave nothing behind when they are stopped."""

from __future__ import annotations

import os
import shutil
import signal
import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest
from flask import Flask
from pyrage import EncryptError

from tests.commands.test_backup_series import SECRET, Run, cheap, run
from tests.commands.test_error_messages import one_line
from webapp.commands import backup as command
from webapp.commands.new_file import FOLDER_PREFIX
from webapp.errors import disk_full

__all__ = ["cheap", "run"]


@pytest.mark.parametrize("name", ["backup", "export"])
@pytest.mark.parametrize("end", ["", "-wal", "-shm", ".lock", " by a link"])
def test_new_file_is_never_the_database(app: Flask, run: Run, name: str, end: str) -> None:
    book = Path(app.config["DATABASE_URL"].removeprefix("sqlite:///"))
    before = book.read_bytes()
    target = Path(f"{book}{end}")
    if end == " by a link":
        target.hardlink_to(book)
    done = one_line(run(name, target))
    assert "used by the database: name another file" in done
    assert book.read_bytes() == before


@pytest.mark.parametrize("name", ["backup", "export"])
def test_new_file_replaces_an_earlier_zip_only(run: Run, tmp_path: Path, name: str) -> None:
    (tmp_path / "letters.txt").write_text("dear anna")
    assert "is no ZIP" in one_line(run(name, tmp_path / "letters.txt"))
    assert (tmp_path / "letters.txt").read_text() == "dear anna"
    for _ in range(2):
        assert run(name, tmp_path / "mine.zip").exit_code == 0


@pytest.mark.parametrize("name", ["backup", "export"])
def test_new_file_follows_a_link(run: Run, tmp_path: Path, name: str) -> None:
    (tmp_path / "disk").mkdir()
    latest, real = tmp_path / "latest.zip", tmp_path / "disk" / "book.zip"
    latest.symlink_to(real)
    for _ in range(2):
        assert run(name, latest).exit_code == 0
        assert latest.is_symlink()
        assert list(real.parent.iterdir()) == [real]
    shutil.rmtree(real.parent)
    assert one_line(run(name, latest)) == f"Error: There is no folder {real.parent}\n"
    assert latest.is_symlink()


@pytest.mark.usefixtures("cheap")
def test_backup_replaces_an_encrypted_one(run: Run, tmp_path: Path) -> None:
    for _ in range(2):
        done = run("backup", tmp_path / "safe.zip", "--encrypt", input=f"{SECRET}\n")
        assert done.exit_code == 0, done.output


def test_backup_to_a_folder_without_keep_is_refused(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "backups").mkdir()
    monkeypatch.chdir(tmp_path / "backups")
    before = sorted(tmp_path.iterdir())
    for folder in (".", "/", tmp_path / "backups"):
        assert "--keep 7" in one_line(run("backup", folder))
    assert sorted(tmp_path.iterdir()) == before
    assert list((tmp_path / "backups").iterdir()) == []


@pytest.fixture
def stopped() -> Iterator[list[int]]:
    """Return the signals that the command did not handle, so that they end no test."""
    missed: list[int] = []
    numbers = (signal.SIGTERM, signal.SIGHUP)
    was = [signal.signal(one, lambda number, _: missed.append(number)) for one in numbers]
    yield missed
    assert missed == []
    for number, handler in zip(numbers, was, strict=True):
        signal.signal(number, handler)


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_stopped_backup_leaves_nothing(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int, stopped: list[int]
) -> None:
    def pack(*given: object) -> int:
        os.kill(os.getpid(), number)
        return 0

    monkeypatch.setattr(command, "pack", pack)
    assert run("backup", tmp_path / "backups", "--keep", 2).exit_code == 128 + number
    assert list((tmp_path / "backups").iterdir()) == []
    assert stopped == []


def test_backup_stopped_while_encrypting_leaves_nothing(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, stopped: list[int]
) -> None:
    def encrypt(*given: object) -> None:
        try:
            os.kill(os.getpid(), signal.SIGTERM)
        except SystemExit as error:
            raise EncryptError(f"SystemExit: {error}") from None

    monkeypatch.setattr(command, "encrypt_backup", encrypt)
    done = run("backup", tmp_path / "backups", "--keep", 2, "--encrypt", input=f"{SECRET}\n")
    assert done.exit_code == 128 + signal.SIGTERM
    assert list((tmp_path / "backups").iterdir()) == []
    assert stopped == []


@pytest.mark.parametrize("name", ["backup", "export"])
def test_full_disk_leaves_nothing(
    run: Run, tmp_path: Path, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = sorted(tmp_path.iterdir())

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    assert "The disk is full" in one_line(run(name, tmp_path / "mine.zip"))
    assert sorted(tmp_path.iterdir()) == before


def test_full_disk_of_sqlite_is_a_one_line_error(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    was = sqlite3.connect

    def connect(path: Path | str, **given: bool) -> sqlite3.Connection:
        connection = was(path, **given)
        if FOLDER_PREFIX in str(path):
            connection.execute("PRAGMA max_page_count=5")
        return connection

    monkeypatch.setattr("webapp.commands.backup_zip.sqlite3.connect", connect)
    done = one_line(run("backup", tmp_path / "mine.zip"))
    assert done == f"Error: {disk_full(tmp_path)}\n"


@pytest.mark.usefixtures("cheap")
def test_full_disk_while_encrypting_is_a_one_line_error(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise EncryptError("OSError: [Errno 28] No space left on device")

    monkeypatch.setattr("webapp.commands.backup_encryption.encrypt_io", full)
    done = run("backup", tmp_path / "mine.zip", "--encrypt", input=f"{SECRET}\n")
    assert one_line(done) == f"Error: {disk_full(tmp_path)}\n"
