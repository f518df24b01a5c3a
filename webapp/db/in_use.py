"""Locks an SQLite database against replacement: a shared lock to use it, exclusive to replace it.

The lock is an advisory one (flock), so it ends with the process. It is on a separate file, because
closing the database file would release SQLite's own locks.
"""

from __future__ import annotations

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from flask import Flask

from webapp.config import database_file


class InUse(Exception):
    """Another process uses the database, or is replacing it."""


@contextmanager
def in_use(database: Path | None, *, exclusive: bool = False) -> Iterator[None]:
    """Hold the lock during the block. Raises InUse, or OSError if there can be no lock.

    None, for a database server, needs no lock.
    """
    if database is None:
        yield
        return
    lock = hold(database, exclusive=exclusive)
    try:
        yield
    finally:
        os.close(lock)


def hold(database: Path, *, exclusive: bool = False) -> int:
    """Take the lock until the returned file descriptor is closed or the process ends.

    Raises InUse, or OSError if the folder is missing or its file system has no locks.
    """
    file = database.with_name(database.name + ".lock")
    lock = os.open(file, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)
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
