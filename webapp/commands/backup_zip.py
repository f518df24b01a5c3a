"""The content of a backup: a ZIP of the database and the photos."""

from __future__ import annotations

import hashlib
import sqlite3
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import closing, suppress
from pathlib import Path
from typing import BinaryIO, Literal
from urllib.parse import quote

import click
from sqlalchemy import URL, create_engine

from webapp import DATABASE_STATE_MESSAGES, migrations
from webapp.commands.new_file import private_file
from webapp.errors import disk_full
from webapp.photos.files import PhotoFiles, StoreUnavailable, parse_photo_name, photo_name

DATABASE = "book.sqlite"
PHOTOS = "photos/"
# What `zipfile` raises for damaged files, found by changing bytes at random; OSError is the other.
DAMAGED: tuple[type[Exception], ...] = (
    zipfile.BadZipFile,
    zlib.error,
    EOFError,
    KeyError,
    RuntimeError,
    ValueError,
)
# Some builds of Python have no lzma.
with suppress(ImportError):
    from lzma import LZMAError

    DAMAGED += (LZMAError,)
UNREADABLE: tuple[type[Exception], ...] = (*DAMAGED, OSError)
CHUNK_BYTES = 1_000_000
# The number of its owner, and the SHA-256 of its bytes.
Photo = tuple[int, str]


def copy_database(uri: str, copy: Path) -> None:
    """Copy a consistent snapshot during writes (SQLite's online backup), without migrating it."""
    with (
        closing(sqlite3.connect(uri, uri=True)) as live,
        closing(sqlite3.connect(copy)) as target,
    ):
        try:
            live.backup(target)
            target.execute("PRAGMA journal_mode=DELETE")
        except sqlite3.Error as error:
            # The private folder of `copy` is deleted now, so name the one around it.
            place = copy.parent.parent
            if getattr(error, "sqlite_errorcode", None) == sqlite3.SQLITE_FULL:
                raise click.ClickException(disk_full(place)) from None
            raise click.ClickException(
                f"The database cannot be copied to {place}: {error}"
            ) from None
        _check_integrity(target)
    _check_schema(copy)


def read_epoch(uri: str) -> str:
    """Return the id of a database."""
    with closing(sqlite3.connect(uri, uri=True)) as connection:
        try:
            found = connection.execute("SELECT epoch FROM safe").fetchone()
        except sqlite3.DatabaseError as error:
            raise click.ClickException(f"This is not a valid database: {error}") from None
    if found is None:
        raise click.ClickException("This is not a valid database: its id is missing.")
    return str(found[0])


def pack(database: Path, photos: PhotoFiles, out: BinaryIO) -> set[Photo]:
    """Write database and photos to a ZIP; photos last, because a file precedes its row."""
    packed = set()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
        archive.write(database, DATABASE)
        for owner_id, sha in photos.all_names():
            content = photos.read(owner_id, sha)
            # None: it was deleted meanwhile.
            if content is not None:
                name = PHOTOS + photo_name(owner_id, sha)
                archive.writestr(name, content, zipfile.ZIP_STORED)
                packed.add((owner_id, sha))
    return packed


def count_missing(copy: Path, uri: str, packed: set[Photo]) -> int:
    """Return how many photos of a copied database were not packed, without those deleted since."""
    return len((_photos_of(f"file://{quote(str(copy.resolve()))}") & _photos_of(uri)) - packed)


def _photos_of(uri: str) -> set[Photo]:
    with closing(sqlite3.connect(uri, uri=True)) as connection:
        return {*connection.execute("SELECT owner_id, sha256 FROM photo_bytes")}


def unpack_database(plain: Path, folder: Path, file: Path) -> Path:
    """Extract the database to `folder` and check that this version can use it.

    `plain` is the ZIP, and `file` the backup that messages name.
    """
    unpacked = folder / DATABASE
    with private_file(unpacked) as out:
        out.writelines(_database_chunks(plain, file))
    with closing(sqlite3.connect(unpacked)) as database:
        _check_integrity(database)
    _check_schema(unpacked)
    return unpacked


def _database_chunks(plain: Path, file: Path) -> Iterator[bytes]:
    """Yield the packed database in parts; only errors of reading say that the backup is damaged."""
    try:
        with zipfile.ZipFile(plain) as archive, archive.open(DATABASE) as packed:
            while chunk := packed.read(CHUNK_BYTES):
                yield chunk
    except KeyError:
        raise click.ClickException(
            f"{file} has no database, so it is no backup or a damaged one. 'secondnose import' "
            "reads what 'secondnose export' or the app wrote."
        ) from None
    except UNREADABLE as error:
        raise click.ClickException(f"{file} cannot be read as a backup: {error}") from None


def unpack_photos(file: Path, photos: PhotoFiles) -> list[str]:
    """Store the photos in their final place; return the names of those damaged here and there."""
    missing = []
    with zipfile.ZipFile(file) as archive:
        for name in archive.namelist():
            photo = parse_photo_name(name.removeprefix(PHOTOS))
            if photo is None or not name.startswith(PHOTOS):
                continue
            owner_id, sha = photo
            state = _state_of(photos, owner_id, sha)
            if state == "sound":
                continue
            content = _unpacked(archive, name)
            is_good = _has_hash(content, sha)
            # `write` keeps what is there, here and when a phone sends the photo again.
            if state == "damaged" or (state == "unreadable" and is_good):
                photos.delete(owner_id, [sha])
            if is_good:
                photos.write(owner_id, sha, content)
            else:
                missing.append(name)
    return missing


def _state_of(
    photos: PhotoFiles, owner_id: int, sha: str
) -> Literal["absent", "sound", "damaged", "unreadable"]:
    """Return the state of a stored photo; one that the disk cannot read now may be sound."""
    try:
        content = photos.read(owner_id, sha)
    except StoreUnavailable:
        raise
    except OSError:
        return "unreadable"
    if content is None:
        return "absent"
    return "sound" if _has_hash(content, sha) else "damaged"


def _unpacked(archive: zipfile.ZipFile, name: str) -> bytes:
    try:
        return archive.read(name)
    except UNREADABLE:
        return b""


def _has_hash(content: bytes, sha: str) -> bool:
    return hashlib.sha256(content).hexdigest() == sha


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
