"""secondnose restore: old logs, damaged databases and foreign versions."""

from __future__ import annotations

import os
import shutil
import signal
import sqlite3
import zipfile
from contextlib import closing
from pathlib import Path

import pytest
from flask import Flask

from tests.commands.test_backup import book_of, id_of
from tests.commands.test_backup_series import SECRET, Run, cheap, run
from tests.commands.test_error_messages import one_line
from webapp.commands.backup_encryption import encrypt_backup
from webapp.commands.backup_zip import DATABASE
from webapp.errors import disk_full

__all__ = ["cheap", "run"]


@pytest.fixture
def book(app: Flask) -> Path:
    """Return the path of the app's database."""
    return Path(app.config["DATABASE_URL"].removeprefix("sqlite:///"))


@pytest.fixture
def backup(run: Run, tmp_path: Path) -> Path:
    """Return a backup with one note."""
    assert run("backup", tmp_path / "safe.zip").exit_code == 0
    return tmp_path / "safe.zip"


def rename_owner(file: Path) -> None:
    """Change the database as a server that loses its power: the change is in the log only."""
    live = file.with_name("live.sqlite")
    shutil.copy(file, live)
    with closing(sqlite3.connect(live)) as connection:
        connection.execute("PRAGMA journal_mode=WAL")
        connection.execute("PRAGMA wal_autocheckpoint=0")
        connection.execute("UPDATE owner SET name = 'from an old log'")
        connection.commit()
        for end in ("", "-wal", "-shm"):
            shutil.copy(f"{live}{end}", f"{file}{end}")
    live.unlink()


def owner_names(file: Path) -> list[str]:
    with closing(sqlite3.connect(file)) as connection:
        return [name for (name,) in connection.execute("SELECT name FROM owner")]


def names_next_to(file: Path) -> set[str]:
    return {one.name for one in file.parent.iterdir() if one.name.startswith(file.name)}


def test_restore_moves_the_log_of_a_missing_database(run: Run, book: Path, backup: Path) -> None:
    rename_owner(book)
    book.rename(book.with_name("broken.sqlite"))
    done = run("restore", backup)
    assert done.exit_code == 0, done.output
    assert f"{book}.before-1-wal" in done.output
    assert owner_names(book) == ["me"]


def test_replaced_database_keeps_its_log(run: Run, book: Path, backup: Path) -> None:
    rename_owner(book)
    assert run("restore", backup, "--replace").exit_code == 0
    assert owner_names(book) == ["me"]
    assert owner_names(Path(f"{book}.before-1")) == ["from an old log"]


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP, signal.SIGINT])
def test_stopped_restore_keeps_database_and_log_together(
    run: Run, book: Path, backup: Path, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    rename_owner(book)
    was = Path.replace

    def replace(self: Path, place: Path | str) -> Path:
        moved = was(self, place)
        if self == book:
            os.kill(os.getpid(), number)
        return moved

    monkeypatch.setattr(Path, "replace", replace)
    done = run("restore", backup, "--replace")
    assert done.exit_code != 0
    assert f"is restored from {backup}" in done.output
    assert f"{book}.before-1-wal" in done.output
    assert owner_names(book) == ["me"]
    assert owner_names(Path(f"{book}.before-1")) == ["from an old log"]


def test_log_left_alone_is_joined_to_no_other_database(run: Run, book: Path, backup: Path) -> None:
    rename_owner(book)
    book.rename(f"{book}.before-1")
    done = run("restore", backup)
    assert f"{book}.before-2-wal" in done.output
    assert not Path(f"{book}.before-1-wal").exists()


@pytest.mark.parametrize("damage", ["random", "truncated", "header", "empty"])
def test_restore_replaces_a_damaged_database(
    app: Flask, run: Run, book: Path, backup: Path, damage: str
) -> None:
    rename_owner(book)
    was = book.read_bytes()
    log = Path(f"{book}-wal").read_bytes()
    now = {
        "random": os.urandom(9_000),
        "truncated": was[:9_000],
        "header": os.urandom(512) + was[512:],
        "empty": b"",
    }[damage]
    book.write_bytes(now)
    done = run("restore", backup, "--replace")
    assert done.exit_code == 0, done.output
    assert book_of(app.config["DATABASE_URL"]) == {id_of(1, 1)}
    assert Path(f"{book}.before-1").read_bytes() == now
    assert Path(f"{book}.before-1-wal").read_bytes() == log
    assert run("restore", backup, "--replace").exit_code == 0
    assert f"{book.name}.before-2" in names_next_to(book)


def test_restore_of_a_newer_version_replaces_nothing(run: Run, book: Path, backup: Path) -> None:
    with zipfile.ZipFile(backup) as archive:
        archive.extract(DATABASE, backup.parent / "out")
    newer = backup.parent / "out" / DATABASE
    with closing(sqlite3.connect(newer)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
        connection.commit()
    with zipfile.ZipFile(backup, "w") as archive:
        archive.write(newer, DATABASE)
    before = book.read_bytes()
    assert "newer version" in one_line(run("restore", backup, "--replace"))
    assert book.read_bytes() == before
    assert not Path(f"{book}.before-1").exists()


def test_restore_reports_a_damaged_zip_in_one_line(run: Run, book: Path, backup: Path) -> None:
    before, whole = book.read_bytes(), backup.read_bytes()
    with zipfile.ZipFile(backup) as archive:
        info = archive.getinfo(DATABASE)
    # The first block of a compressed stream has an invalid type; the name in the list is no UTF-8.
    stream = info.header_offset + 30 + len(DATABASE)
    name = whole.rindex(DATABASE.encode())
    flags = name - 46 + 8
    for place, byte in ((stream, 0x07), (name, 0xFF), (flags, 0x01)):
        content = bytearray(whole)
        content[place] = byte
        if place == name:
            content[flags + 1] = 0x08
        backup.write_bytes(content)
        assert "cannot be read as a backup" in one_line(run("restore", backup, "--replace"))
    assert book.read_bytes() == before


def test_damaged_method_is_a_one_line_error(run: Run, backup: Path) -> None:
    content = bytearray(backup.read_bytes())
    with zipfile.ZipFile(backup) as archive:
        stream = archive.getinfo(DATABASE).header_offset + 30 + len(DATABASE)
    # 14 is LZMA, whose stream begins with its version, the length of its options, and these.
    content[content.rindex(DATABASE.encode()) - 46 + 10] = 14
    content[stream : stream + 9] = b"\x09\x04\x05\x00" + b"\xff" * 5
    backup.write_bytes(content)
    assert "cannot be read as a backup" in one_line(run("restore", backup, "--replace"))


@pytest.mark.usefixtures("cheap")
def test_damaged_backup_has_the_name_that_was_given(run: Run, tmp_path: Path) -> None:
    (tmp_path / "plums").write_bytes(b"plums")
    with (tmp_path / "safe.zip").open("wb") as out:
        encrypt_backup(tmp_path / "plums", out, SECRET)
    (tmp_path / "secret").write_text(SECRET)
    done = run(
        "restore", tmp_path / "safe.zip", "--replace", "--passphrase-file", tmp_path / "secret"
    )
    assert one_line(done).startswith(f"Error: {tmp_path}/safe.zip cannot be read as a backup")


def test_full_disk_is_no_fault_of_the_backup(
    run: Run, book: Path, backup: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    was = os.open

    def full(path: object, *items: int, **more: int) -> int:
        return was("/dev/full" if Path(str(path)).name == DATABASE else path, *items, **more)

    monkeypatch.setattr(os, "open", full)
    done = one_line(run("restore", backup, "--replace"))
    assert done == f"Error: {disk_full(book.parent)}\n"


def test_archive_and_backup_name_the_command_of_the_other(
    run: Run, book: Path, backup: Path, tmp_path: Path
) -> None:
    assert run("export", tmp_path / "notes.zip").exit_code == 0
    assert "'secondnose import' reads" in one_line(
        run("restore", tmp_path / "notes.zip", "--replace")
    )
    assert not Path(f"{book}.before-1").exists()
    assert "'secondnose restore' reads" in one_line(run("import", backup))


def test_restore_says_that_old_sign_ins_are_back(
    run: Run, backup: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("DATABASE_URL", f"sqlite:///{tmp_path}/new/book.sqlite")
    done = run("restore", backup)
    assert "'secondnose user passphrase NAME'" in done.output
    assert (tmp_path / "new").stat().st_mode & 0o777 == 0o700
