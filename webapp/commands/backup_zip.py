"""The content of a backup: a ZIP of the database and the photos."""

from __future__ import annotations

import shutil
import sqlite3
import zipfile
import zlib
from contextlib import closing
from pathlib import Path
from typing import BinaryIO

import click
from sqlalchemy import URL, create_engine

from webapp import DATABASE_STATE_MESSAGES, migrations
from webapp.commands.new_file import private_file
from webapp.photos.files import PhotoFiles, parse_photo_name, photo_name

DATABASE = "book.sqlite"
PHOTOS = "photos/"
# What `zipfile` raises for damaged files, found by changing bytes at random; OSError is the other.
DAMAGED = (zipfile.BadZipFile, zlib.error, EOFError, KeyError, RuntimeError, ValueError)


def copy_database(source: Path, copy: Path) -> None:
    """Copy a consistent snapshot during writes (SQLite's online backup)."""
    with closing(sqlite3.connect(source)) as live, closing(sqlite3.connect(copy)) as target:
        live.backup(target)
        target.execute("PRAGMA journal_mode=DELETE")
        _check_integrity(target)


def pack(database: Path, photos: PhotoFiles, out: BinaryIO) -> int:
    """Write database and photos to a ZIP; photos last, because a file precedes its row."""
    count = 0
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
        archive.write(database, DATABASE)
        for owner_id, sha in photos.all_names():
            content = photos.read(owner_id, sha)
            # None: it was deleted meanwhile.
            if content is not None:
                name = PHOTOS + photo_name(owner_id, sha)
                archive.writestr(name, content, zipfile.ZIP_STORED)
                count += 1
    return count


def unpack_database(file: Path, folder: Path) -> Path:
    """Extract the database to `folder` and check that this version can use it."""
    unpacked = folder / DATABASE
    try:
        with (
            zipfile.ZipFile(file) as archive,
            archive.open(DATABASE) as packed,
            private_file(unpacked) as out,
        ):
            shutil.copyfileobj(packed, out)
    except (*DAMAGED, OSError) as error:
        raise click.ClickException(f"{file} cannot be read as a backup: {error}") from None
    with closing(sqlite3.connect(unpacked)) as database:
        _check_integrity(database)
    _check_schema(unpacked)
    return unpacked


def unpack_photos(file: Path, photos: PhotoFiles) -> list[str]:
    """Store the photos in their final place; return the names of damaged ones not there yet."""
    missing = []
    with zipfile.ZipFile(file) as archive:
        for name in archive.namelist():
            photo = parse_photo_name(name.removeprefix(PHOTOS))
            if photo is None or not name.startswith(PHOTOS):
                continue
            try:
                content = archive.read(name)
            except (*DAMAGED, OSError):
                if photos.read(*photo) is None:
                    missing.append(name)
            else:
                photos.write(*photo, content)
    return missing


def _check_integrity(connection: sqlite3.Connection) -> None:
    try:
        result = connection.execute("PRAGMA integrity_check").fetchone()[0]
        connection.execute("SELECT epoch FROM safe").fetchone()
    except sqlite3.DatabaseError as error:
        result = str(error)
    if result != "ok":
        raise click.ClickException(f"This is not a valid database: {result}")


def _check_schema(database: Path) -> None:
    """Refuse a database that cannot be upgraded to this version."""
    engine = create_engine(URL.create("sqlite", database=str(database)))
    try:
        state = migrations.state(engine)
    finally:
        engine.dispose()
    if state == "newer":
        raise click.ClickException(DATABASE_STATE_MESSAGES[state])
    if state == "empty":
        raise click.ClickException("This is not a valid database: its version is missing.")
