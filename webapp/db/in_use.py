"""Locks an SQLite database against replacement: a shared lock to use it, exclusive to replace it.

The lock is an advisory one (flock), so it ends with the process. It is on a separate file, because
closing the database file would release SQLite's own locks.
"""

from __future__ import annotations

import errno
import fcntl
import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from flask import Flask

from webapp.config import database_file

# The first bytes of each SQLite database that is not empty.
_HEADER = b"SQLite format 3\0"
CANNOT_WRITE = (errno.EROFS, errno.EACCES, errno.EPERM, errno.ENOSPC, errno.EDQUOT)


class InUse(Exception):
    """Another process uses the database, or is replacing it."""


@contextmanager
def in_use(
    database: Path | None, *, exclusive: bool = False, reads: bool = False
) -> Iterator[None]:
    """Hold the lock during the block. Raises InUse, or OSError if there can be no lock.

    None, for a database server, needs no lock. `reads`: nor does a folder in which nobody has
    made the lock and none can be made, because a server would have made it. Raises sqlite3.Error
    instead of making a shared lock beside a file that is no database.
    """
    if database is not None and not exclusive and not lock_file(database).exists():
        _require_header(database)
    if database is None or (reads and _has_no_lock(lock_file(database))):
        yield
        return
    lock = hold(database, exclusive=exclusive, reads=reads)
    try:
        yield
    finally:
        os.close(lock)


def lock_file(database: Path) -> Path:
    """Return the path of a database's lock."""
    return database.with_name(database.name + ".lock")


def _require_header(file: Path) -> None:
    """Raise sqlite3.Error if a file has other content than an SQLite database."""
    if not file.is_file():
        # A restore may be replacing it.
        return
    try:
        with file.open("rb") as content:
            start = content.read(len(_HEADER))
    except OSError:
        # SQLite reports it.
        return
    if start and start != _HEADER:
        raise sqlite3.DatabaseError("file is not a database")


def _has_no_lock(file: Path) -> bool:
    """Tell whether there is no lock and none can be made here."""
    try:
        os.close(os.open(file, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600))
    except OSError as error:
        return error.errno in CANNOT_WRITE and not file.exists()
    return False


def hold(database: Path, *, exclusive: bool = False, reads: bool = False) -> int:
    """Take the lock until the returned file descriptor is closed or the process ends.

    Raises InUse, or OSError if the folder is missing or its file system has no locks.
    """
    file = lock_file(database)
    try:
        lock = os.open(file, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)
    except OSError as error:
        if not reads or error.errno not in CANNOT_WRITE:
            raise
        # A file that is only open for reading can be locked too.
        lock = os.open(file, os.O_RDONLY | os.O_CLOEXEC)
    try:
        fcntl.flock(lock, (fcntl.LOCK_EX if exclusive else fcntl.LOCK_SH) | fcntl.LOCK_NB)
    except OSError as error:
        os.close(lock)
        if isinstance(error, BlockingIOError):
            raise InUse(f"{database} is in use.") from None
        raise OSError(error.errno, error.strerror, str(file)) from None
    return lock


def hold_database(app: Flask) -> None:
    """Take the lock of the app's database until the process ends. Raises InUse, OSError."""
    file = database_file(app.config["DATABASE_URL"])
    if file is not None:
        hold(file)
