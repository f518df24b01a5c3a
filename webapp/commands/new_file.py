"""Writes files completely or not at all, and only where nothing else is lost.

A file is written in a private folder next to its place. The folder has a locked file while it is
used, so that the next command can delete what an interrupted one left behind.
"""

from __future__ import annotations

import fcntl
import os
import signal
import stat
import tempfile
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO

import click

from webapp.config import database_file
from webapp.db.in_use import hold
from webapp.errors import FULL

FOLDER_PREFIX = "secondnose-unfinished-"
FILE = "unfinished.zip"
LOCK = f"{FILE}.lock"
# SQLite applies these logs to whatever database has their name.
LOG_SUFFIXES = ("-wal", "-shm", "-journal")
STOP_SIGNALS = (signal.SIGTERM, signal.SIGHUP)


@contextmanager
def new_file(target: Path, database_url: str) -> Iterator[Path]:
    """Give a path to write; after the block, what is there becomes the file `target`.

    A link stays one: what it leads to is the file.
    """
    _check_target(target, database_file(database_url))
    place = Path(os.path.realpath(target))
    if not place.parent.is_dir():
        raise click.ClickException(f"There is no folder {place.parent}")
    with private_folder(place.parent) as folder:
        yield folder / FILE
        (folder / FILE).replace(place)


@contextmanager
def private_folder(parent: Path) -> Iterator[Path]:
    """Give a folder for this command only; it is deleted, even if the command is stopped."""
    _delete_leftovers(parent)
    with _exit_when_stopped():
        folder = Path(tempfile.mkdtemp(prefix=FOLDER_PREFIX, dir=parent))
        with _locked(folder):
            try:
                yield folder
            finally:
                _delete(folder)


@contextmanager
def _locked(folder: Path) -> Iterator[None]:
    """Hold the lock that keeps a folder from being deleted as a leftover, if there are locks."""
    try:
        lock = hold(folder / "new", exclusive=True)
    except OSError:
        # Some network file systems have no locks; without LOCK the folder is no leftover.
        yield
        return
    try:
        # The lock gets its name once it is held, so that no other command takes it first.
        (folder / "new.lock").rename(folder / LOCK)
        yield
    finally:
        os.close(lock)


def _delete(folder: Path) -> None:
    """Delete a folder, LOCK last: while it is there, the next command deletes what is left."""
    for path in folder.iterdir():
        if path.name != LOCK:
            path.unlink(missing_ok=True)
    (folder / LOCK).unlink(missing_ok=True)
    # An empty folder harms nobody.
    with suppress(OSError):
        folder.rmdir()


@contextmanager
def private_file(path: Path) -> Iterator[BinaryIO]:
    """Open a file of mode 0600: only the operator may read all notebooks and passphrase hashes."""
    try:
        with open(os.open(path, os.O_RDWR | os.O_CREAT | os.O_TRUNC, 0o600), "w+b") as out:
            yield out
            out.flush()
            os.fsync(out.fileno())
    except OSError as error:
        if error.errno not in FULL:
            raise
        # The private folder of `path` is deleted now, so name the one around it.
        raise OSError(error.errno, error.strerror, str(path.parent.parent)) from None


def _check_target(target: Path, database: Path | None) -> None:
    """Refuse to replace the database, what belongs to it, or any file that is no earlier ZIP."""
    ends = ("", *LOG_SUFFIXES, ".lock")
    if database and any(_is_same(target, Path(f"{database}{end}")) for end in ends):
        raise click.ClickException(f"{target} is used by the database: name another file.")
    if target.exists() and not zipfile.is_zipfile(target):
        raise click.ClickException(
            f"{target} exists and is no ZIP: name another file, or move that one away first."
        )


def _is_same(one: Path, other: Path) -> bool:
    """Compare two paths, also by what they link to."""
    if one.resolve() == other.resolve():
        return True
    return one.exists() and other.exists() and one.samefile(other)


def _delete_leftovers(parent: Path) -> None:
    """Delete the folders of interrupted commands, which may contain a plain copy of everything."""
    for folder in parent.glob(f"{FOLDER_PREFIX}*"):
        # The folder of a command that still runs is locked, or has no lock yet; it stays.
        with suppress(OSError):
            if _is_own_folder(folder):
                _delete_unlocked(folder)


def _is_own_folder(path: Path) -> bool:
    """Tell whether a path is a folder of this user: others may write here too, as in /tmp."""
    found = path.lstat()
    return stat.S_ISDIR(found.st_mode) and found.st_uid == os.geteuid()


def _delete_unlocked(folder: Path) -> None:
    lock = os.open(folder / LOCK, os.O_RDWR | os.O_NOFOLLOW | os.O_CLOEXEC)
    try:
        fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        _delete(folder)
    finally:
        os.close(lock)


@contextmanager
def _exit_when_stopped() -> Iterator[None]:
    """Turn SIGTERM and SIGHUP into SystemExit, so that files are cleaned up.

    A second one ends the process at once.
    """
    received: list[int] = []

    def stop(number: int, _frame: object) -> None:
        received.append(number)
        signal.signal(number, signal.SIG_DFL)
        raise SystemExit(128 + number)

    # A signal that is ignored, as by nohup, stays ignored.
    before = {one: was for one in STOP_SIGNALS if (was := signal.getsignal(one)) != signal.SIG_IGN}
    for number in before:
        signal.signal(number, stop)
    try:
        yield
    except Exception:
        # A library written in C or Rust has converted SystemExit to an error of its own.
        if received:
            raise SystemExit(128 + received[0]) from None
        raise
    finally:
        for number, was in before.items():
            signal.signal(number, was)
