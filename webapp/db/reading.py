"""Reading an SQLite database, also where nothing can be written beside it."""

from __future__ import annotations

import errno
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from urllib.parse import quote

from webapp.db.full_disk import has_little_room
from webapp.db.in_use import InUse, in_use


@contextmanager
def reading(file: Path) -> Iterator[str]:
    """Give the URI at which SQLite reads a database; it stays locked during the block.

    Raises InUse, sqlite3.Error, OSError.
    """
    # An empty authority, because a path may begin with two slashes.
    uri = f"file://{quote(str(file))}"
    with in_use(file, reads=True):
        problem = _problem(f"{uri}?mode=rw")
        if problem is None:
            yield f"{uri}?mode=rw"
            return
    # A full disk or a read-only folder: without a server and its log the file alone is complete.
    if _is_empty(Path(f"{file}-wal")) and _is_empty(Path(f"{file}-journal")):
        try:
            with in_use(file, exclusive=True, reads=True):
                yield f"{uri}?immutable=1"
                return
        except InUse:
            pass
    if has_little_room(file.parent):
        raise OSError(errno.ENOSPC, "The disk is full", str(file.parent))
    raise problem


def _problem(uri: str) -> sqlite3.OperationalError | None:
    """Return the error of reading at a URI; None: there is none."""
    with closing(sqlite3.connect(uri, uri=True)) as connection:
        try:
            connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
        except sqlite3.OperationalError as error:
            return error
    return None


def _is_empty(log: Path) -> bool:
    return not log.exists() or log.stat().st_size == 0
