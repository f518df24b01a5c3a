"""Says in one line why a database cannot be used; of a full disk SQLite says "disk I/O error"."""

from __future__ import annotations

import shutil
import sqlite3
from pathlib import Path

from webapp.config import database_file
from webapp.errors import disk_full, in_one_line

# SQLite needs less than this for the files beside a database.
LITTLE_BYTES = 100_000
# What SQLite says if it cannot make or extend one of these files, among other causes.
_PERHAPS_FULL = (sqlite3.SQLITE_IOERR, sqlite3.SQLITE_CANTOPEN)


def database_problem(error: Exception, url: str) -> str:
    """Return one line on why the database at a URL cannot be used."""
    file = database_file(url)
    if file is not None and is_disk_full(error, url):
        return disk_full(file.parent)
    # SQLite's own messages name no file.
    place = f" in {file}" if file else ""
    return f"The database{place} cannot be used: {in_one_line(error)}"


def is_disk_full(error: Exception, url: str) -> bool:
    """Tell whether the database at a URL, an SQLite file, failed for want of room."""
    file = database_file(url)
    if file is None:
        return False
    # The lowest byte of an extended code is the primary one.
    code = getattr(getattr(error, "orig", None) or error, "sqlite_errorcode", 0) & 0xFF
    is_perhaps = code in _PERHAPS_FULL and has_little_room(file.parent)
    return code == sqlite3.SQLITE_FULL or is_perhaps


def has_little_room(folder: Path) -> bool:
    """Tell whether SQLite cannot write beside a database for want of room."""
    try:
        return shutil.disk_usage(folder).free < LITTLE_BYTES
    except OSError:
        return False
