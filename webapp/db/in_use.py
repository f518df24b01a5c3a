"""Who uses a book in SQLite: everybody holds a lock on a file beside it, whoever replaces it alone.

An advisory lock of the system (flock), which ends with the process, however that ends. It is not on
the database's own file: closing that would release SQLite's locks.
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
    """Somebody else has the book, or is about to replace it."""


@contextmanager
def in_use(database: Path | None, *, alone: bool = False) -> Iterator[None]:
    """Use the book for as long as the block lasts. Raises InUse, or OSError without a folder.

    None, a book on a database server, is always free.
    """
    if database is None:
        yield
        return
    lock = hold(database, alone=alone)
    try:
        yield
    finally:
        os.close(lock)


def hold(database: Path, *, alone: bool = False) -> int:
    """The same until the file descriptor is closed, or the process ends."""
    file = database.with_name(database.name + ".lock")
    lock = os.open(file, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)
    try:
        fcntl.flock(lock, (fcntl.LOCK_EX if alone else fcntl.LOCK_SH) | fcntl.LOCK_NB)
    except OSError:
        os.close(lock)
        raise InUse(f"{database} is in use.") from None
    return lock


def hold_database(app: Flask) -> None:
    """Use the app's book until the process ends. Raises InUse."""
    file = database_file(app.config["DATABASE_URL"])
    if file is not None:
        hold(file)
