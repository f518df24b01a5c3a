"""Backups and exports where nothing can be written beside the database."""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import SimpleNamespace

import pytest
from click.testing import CliRunner, Result

from tests.commands.test_error_messages import one_line
from webapp.cli import main
from webapp.db import full_disk, reading
from webapp.db.in_use import in_use
from webapp.errors import disk_full

NOBODY = 65_534


@pytest.fixture
def book(empty_sqlite: Path) -> Iterator[Path]:
    """Yield the path of a database in a folder that every user reaches."""
    folder = Path("/tmp") / f"secondnose-read-only-{os.getpid()}"
    (folder / "book").mkdir(parents=True)
    (folder / "out").mkdir()
    (folder / "out").chmod(0o777)
    shutil.copy(empty_sqlite, folder / "book" / "book.sqlite")
    (folder / "book" / "book.sqlite").chmod(0o644)
    yield folder / "book" / "book.sqlite"
    shutil.rmtree(folder)


@contextmanager
def another_user() -> Iterator[None]:
    """Run as a user who cannot write in the folders of others."""
    os.seteuid(NOBODY)
    try:
        yield
    finally:
        os.seteuid(0)


def run(book: Path | str, monkeypatch: pytest.MonkeyPatch, *arguments: str) -> Result:
    monkeypatch.setenv("DATABASE_URL", f"sqlite:///{book}")
    return CliRunner().invoke(main, arguments)


def names_in(folder: Path) -> list[str]:
    return sorted(one.name for one in folder.iterdir())


@pytest.mark.skipif(os.geteuid() != 0, reason="changes the user")
@pytest.mark.parametrize("command", ["backup", "export"])
@pytest.mark.parametrize("lock", ["no lock", "old lock"])
def test_read_only_folder_is_copied(
    book: Path, monkeypatch: pytest.MonkeyPatch, command: str, lock: str
) -> None:
    if lock == "old lock":
        Path(f"{book}.lock").touch(0o644)
    before = names_in(book.parent)
    target = book.parent.parent / "out" / "safe.zip"
    # Two slashes at the start are one for the system, and would be a host in an URI.
    with another_user():
        done = run(f"/{book}", monkeypatch, command, str(target))
    assert done.exit_code == 0, done.output
    assert target.stat().st_size > 0
    assert names_in(book.parent) == before


@pytest.mark.skipif(os.geteuid() != 0, reason="changes the user")
def test_doctor_names_what_cannot_be_written(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    wrong = "The database cannot be written: Permission denied: "
    monkeypatch.setenv("SECONDNOSE_PHOTOS", f"{book.parent.parent}/out")
    for writable, named in ((0o644, book), (0o666, f"{book}.lock")):
        book.chmod(writable)
        Path(f"{book}.lock").touch(0o644)
        with another_user():
            assert f"{wrong}{named}\n" in run(book, monkeypatch, "doctor").output
    Path(f"{book}.lock").unlink()
    with another_user():
        assert f"{wrong}{book.parent}" in run(book, monkeypatch, "doctor").output


@pytest.mark.parametrize("end", ["-wal", "-journal", "in use"])
def test_full_disk_is_copied_only_without_a_server(
    book: Path, monkeypatch: pytest.MonkeyPatch, end: str
) -> None:
    broken = sqlite3.OperationalError("disk I/O error")
    monkeypatch.setattr(reading, "_problem", lambda _: broken)
    target = book.parent.parent / "out" / "safe.zip"
    assert run(book, monkeypatch, "backup", str(target)).exit_code == 0
    if end != "in use":
        Path(f"{book}{end}").write_bytes(b"plums")
    with in_use(book):
        assert "disk I/O error" in one_line(run(book, monkeypatch, "backup", str(target)))
    usage = SimpleNamespace(disk_usage=lambda _: SimpleNamespace(free=0))
    monkeypatch.setattr(full_disk, "shutil", usage)
    with in_use(book):
        done = one_line(run(book, monkeypatch, "backup", str(target)))
    assert done == f"Error: {disk_full(book.parent)}\n"
