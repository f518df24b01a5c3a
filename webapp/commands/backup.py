"""secondnose backup and restore: the whole server, all owners, in one file.

They work with SQLite only; with PostgreSQL use pg_dump and copy the photos.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
import tempfile
import zipfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import BinaryIO

import click
from flask import current_app

from webapp.commands.backup_encryption import (
    MIN_LENGTH,
    CannotDecrypt,
    decrypt_backup,
    encrypt_backup,
    is_encrypted,
)
from webapp.commands.backup_files import (
    backups_in,
    delete_old_backups,
    new_backup_path,
    split_by_time,
)
from webapp.commands.context import app_context, one_line_errors, with_app
from webapp.commands.example import app_photo_files
from webapp.commands.secrets import ask_passphrase, prompt_passphrase, read_secret
from webapp.config import database_file, settings
from webapp.db.in_use import InUse, in_use
from webapp.photos.files import PhotoFiles, parse_photo_name, photo_files, photo_name

DATABASE = "book.sqlite"
PHOTOS = "photos/"
SECRET_FILE = click.Path(exists=True, dir_okay=False, path_type=Path)


@click.command()
@click.argument("target", type=click.Path(path_type=Path))
@click.option("--keep", type=click.IntRange(1), help="TARGET is a folder; keep so many backups.")
@click.option("--encrypt", is_flag=True, help="Encrypt with a passphrase, asked for or from stdin.")
@click.option("--passphrase-file", type=SECRET_FILE, help="Encrypt with the passphrase in a file.")
@with_app
def backup(target: Path, keep: int | None, encrypt: bool, passphrase_file: Path | None) -> None:
    """Write everything on this server to TARGET, a ZIP; the server may be running.

    With --keep, TARGET is a folder: the backup gets a name with its time, and older ones go.
    """
    source = _sqlite_file(current_app.config["DATABASE_URL"])
    secret = _new_secret(encrypt, passphrase_file)
    file, now = target, datetime.now(UTC)
    if keep is not None:
        target.mkdir(mode=0o700, parents=True, exist_ok=True)
        file = new_backup_path(target, now)
    count = _write_backup(source, file, secret)
    click.echo(f"The database and {count} photos are in {file}")
    # Old backups go only after the new one is complete.
    if keep is not None:
        _delete_old(target, keep, now)


def _write_backup(source: Path, file: Path, secret: str | None) -> int:
    """Write a backup, complete or not at all, and return the number of photos."""
    temporary = file.with_name(file.name + ".part")
    with tempfile.TemporaryDirectory(dir=file.absolute().parent) as folder:
        copy, plain = Path(folder, DATABASE), Path(folder, "backup.zip")
        _copy_database(source, copy)
        with _private(temporary if secret is None else plain) as out:
            count = _pack(copy, app_photo_files(), out)
        if secret is not None:
            with _private(temporary) as out:
                encrypt_backup(plain, out, secret)
    temporary.replace(file)
    return count


@contextmanager
def _private(path: Path) -> Iterator[BinaryIO]:
    """Open a file of mode 0600: only the operator may read all notebooks and passphrase hashes."""
    with open(os.open(path, os.O_RDWR | os.O_CREAT | os.O_TRUNC, 0o600), "w+b") as out:
        yield out
        out.flush()
        os.fsync(out.fileno())


def _delete_old(folder: Path, keep: int, now: datetime) -> None:
    if deleted := delete_old_backups(folder, keep, now):
        click.echo(f"{deleted} older backups deleted.")
    _, later = split_by_time(backups_in(folder), now)
    if later:
        click.echo(
            f"Check the clock: {len(later)} backups have a time in the future, such as "
            f"{later[0].name}. They are not counted and not deleted; delete or rename them.",
            err=True,
        )


def _new_secret(encrypt: bool, file: Path | None) -> str | None:
    """Return the passphrase of a new backup; None: it is not encrypted."""
    secret = read_secret(file) if file else prompt_passphrase() if encrypt else None
    if secret is not None and len(secret) < MIN_LENGTH:
        raise click.ClickException(f"The passphrase needs at least {MIN_LENGTH} characters.")
    return secret


@click.command()
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option("--replace", is_flag=True, help="Rename the existing database, do not delete it.")
@click.option("--passphrase-file", type=SECRET_FILE, help="The passphrase is in this file.")
def restore(file: Path, replace: bool, passphrase_file: Path | None) -> None:
    """Restore the server from the backup FILE. Stop the server first.

    The passphrase of an encrypted backup is asked for.
    """
    with one_line_errors():
        config = settings()
        target = _sqlite_file(config["DATABASE_URL"])
        if target.exists() and not replace:
            raise click.ClickException(
                f"There is a database in {target}; --replace renames it and does not delete it."
            )
        target.parent.mkdir(parents=True, exist_ok=True)
        try:
            with in_use(target, exclusive=True), _decrypted(file, target, passphrase_file) as plain:
                _replace(plain, target, photo_files(config["PHOTO_FOLDER"]))
        except InUse:
            raise click.ClickException(
                f"A server or a command is using {target}: stop it first."
            ) from None
    with app_context(UPGRADE=True):
        click.echo(f"The server is restored from {file}")


@contextmanager
def _decrypted(file: Path, target: Path, passphrase_file: Path | None) -> Iterator[Path]:
    """Give the path of the backup as a plain ZIP, next to the database while it is needed."""
    if not is_encrypted(file):
        yield file
        return
    secret = read_secret(passphrase_file) if passphrase_file else ask_passphrase()
    with tempfile.TemporaryDirectory(dir=target.parent) as folder:
        plain = Path(folder, "backup.zip")
        try:
            with _private(plain) as out:
                decrypt_backup(file, out, secret)
        except CannotDecrypt:
            raise click.ClickException(
                f"{file} cannot be decrypted: the passphrase is wrong or the file is damaged."
            ) from None
        yield plain


def _replace(file: Path, target: Path, photos: PhotoFiles) -> None:
    with tempfile.TemporaryDirectory(dir=target.parent) as folder:
        restored = _unpack(file, Path(folder), photos)
        if target.exists():
            _move_aside(target)
        restored.replace(target)


def _sqlite_file(url: str) -> Path:
    file = database_file(url)
    if file is None:
        raise click.ClickException(
            "The database is PostgreSQL: use pg_dump and pg_restore, and copy the photos."
        )
    return file


def _copy_database(source: Path, copy: Path) -> None:
    """Copy a consistent snapshot during writes (SQLite's online backup)."""
    with closing(sqlite3.connect(source)) as live, closing(sqlite3.connect(copy)) as target:
        live.backup(target)
        target.execute("PRAGMA journal_mode=DELETE")
        _check_integrity(target)


def _check_integrity(connection: sqlite3.Connection) -> None:
    try:
        result = connection.execute("PRAGMA integrity_check").fetchone()[0]
        connection.execute("SELECT epoch FROM safe").fetchone()
    except sqlite3.DatabaseError as error:
        result = str(error)
    if result != "ok":
        raise click.ClickException(f"This is not a valid database: {result}")


def _pack(database: Path, photos: PhotoFiles, out: BinaryIO) -> int:
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


def _unpack(file: Path, folder: Path, photos: PhotoFiles) -> Path:
    """Extract the database to `folder` and check it; store the photos in their final place."""
    try:
        with zipfile.ZipFile(file) as archive:
            with archive.open(DATABASE) as packed, Path(folder, DATABASE).open("wb") as out:
                os.fchmod(out.fileno(), 0o600)
                shutil.copyfileobj(packed, out)
            with closing(sqlite3.connect(Path(folder, DATABASE))) as database:
                _check_integrity(database)
            for name in archive.namelist():
                photo = parse_photo_name(name.removeprefix(PHOTOS))
                if photo is not None and name.startswith(PHOTOS):
                    photos.write(*photo, archive.read(name))
    except (zipfile.BadZipFile, KeyError, OSError, EOFError) as error:
        raise click.ClickException(f"{file} cannot be read as a backup: {error}") from None
    return Path(folder, DATABASE)


def _move_aside(target: Path) -> None:
    """Rename the existing database, with its write-ahead log merged in."""
    with closing(sqlite3.connect(target)) as live:
        live.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    number = 1
    while (aside := target.with_name(f"{target.name}.before-{number}")).exists():
        number += 1
    target.replace(aside)
    for suffix in ("-wal", "-shm"):
        target.with_name(target.name + suffix).unlink(missing_ok=True)
    click.echo(f"The previous database is in {aside}")
