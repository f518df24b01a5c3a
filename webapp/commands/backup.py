"""secondnose backup: the whole server, all owners, in one file.

It works with SQLite only; with PostgreSQL use pg_dump and copy the photos.
"""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import click

from webapp import require_database
from webapp.commands.backup_encryption import MIN_LENGTH, encrypt_backup
from webapp.commands.backup_files import (
    backups_in,
    delete_old_backups,
    delete_parts,
    new_backup_path,
    split_by_time,
)
from webapp.commands.backup_zip import DATABASE, copy_database, count_missing, pack, read_epoch
from webapp.commands.context import one_line_errors, sqlite_file
from webapp.commands.new_file import new_file, private_file
from webapp.commands.secrets import SECRET_FILE, prompt_passphrase, read_secret
from webapp.config import settings
from webapp.db.reading import reading
from webapp.photos.files import PhotoFiles, photo_files


@click.command()
@click.argument("target", type=click.Path(path_type=Path))
@click.option("--keep", type=click.IntRange(1), help="TARGET is a folder; keep so many backups.")
@click.option("--encrypt", is_flag=True, help="Encrypt with a passphrase, asked for or from stdin.")
@click.option("--passphrase-file", type=SECRET_FILE, help="Encrypt with the passphrase in a file.")
def backup(target: Path, keep: int | None, encrypt: bool, passphrase_file: Path | None) -> None:
    """Write everything on this server to TARGET, a ZIP; the server may be running.

    With --keep, TARGET is a folder: the backup gets a name with its time, and older ones go. The
    exit code is 1 if photos are missing; older backups then stay.
    """
    with one_line_errors():
        config = settings()
        source = sqlite_file(config["DATABASE_URL"])
        require_database(config["DATABASE_URL"])
        if keep is None and target.is_dir():
            raise click.ClickException(
                f"{target} is a folder: add the name of a file, or --keep 7 for a series in it."
            )
        secret = _new_secret(encrypt, passphrase_file)
        with reading(source) as uri:
            file, now, epoch = target, datetime.now(UTC), read_epoch(uri)
            if keep is not None:
                target.mkdir(mode=0o700, parents=True, exist_ok=True)
                delete_parts(target)
                file = new_backup_path(target, now, epoch)
            with new_file(file, config["DATABASE_URL"]) as unfinished:
                photos = photo_files(config["PHOTO_FOLDER"])
                count, missing = _write(uri, photos, unfinished, secret)
        click.echo(f"The database and {count} photos are in {file}")
        if missing:
            # An older backup may be the only place that has them.
            kept = "" if keep is None else " No older backup was deleted."
            raise click.ClickException(
                f"{missing} photos are missing from the backup, because they are not in "
                f"{config['PHOTO_FOLDER']}: set SECONDNOSE_PHOTOS as for the server, or copy them "
                f"from an older backup.{kept}"
            )
        # Old backups go only after the new one is complete.
        if keep is not None:
            _delete_old(target, keep, now, epoch)


def _write(uri: str, photos: PhotoFiles, out_path: Path, secret: str | None) -> tuple[int, int]:
    """Write a backup to `out_path`, with its parts next to it.

    Return the number of photos in it, and of those that are missing.
    """
    copy, plain = out_path.with_name(DATABASE), out_path.with_name("plain.zip")
    copy_database(uri, copy)
    with private_file(out_path if secret is None else plain) as out:
        packed = pack(copy, photos, out)
    if secret is not None:
        with private_file(out_path) as out:
            encrypt_backup(plain, out, secret)
    return len(packed), count_missing(copy, uri, packed)


def _delete_old(folder: Path, keep: int, now: datetime, epoch: str) -> None:
    if deleted := delete_old_backups(folder, keep, now, epoch):
        click.echo(f"{deleted} older backups deleted.")
    own = backups_in(folder, epoch)
    _, later = split_by_time(own, now)
    if later:
        click.echo(
            f"Check the clock: {len(later)} backups have a time in the future, such as "
            f"{later[0].name}. They are not counted and not deleted; delete or rename them.",
            err=True,
        )
    if others := [one for one in backups_in(folder) if one not in own]:
        click.echo(
            f"{len(others)} backups, such as {others[0].name}, are of another database or an "
            "earlier version. They are not counted and not deleted.",
            err=True,
        )


def _new_secret(encrypt: bool, file: Path | None) -> str | None:
    """Return the passphrase of a new backup; None: it is not encrypted."""
    secret = read_secret(file) if file else prompt_passphrase() if encrypt else None
    if secret is not None and len(secret) < MIN_LENGTH:
        raise click.ClickException(f"The passphrase needs at least {MIN_LENGTH} characters.")
    return secret
