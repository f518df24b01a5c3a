"""secondnose restore: the whole server from a backup."""

from __future__ import annotations

import os
import shutil
import signal
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import click

from webapp.commands.backup_encryption import CannotDecrypt, decrypt_backup, is_encrypted
from webapp.commands.backup_zip import unpack_database, unpack_photos
from webapp.commands.context import app_context, one_line_errors, sqlite_file
from webapp.commands.new_file import LOG_SUFFIXES, STOP_SIGNALS, private_file, private_folder
from webapp.commands.secrets import SECRET_FILE, ask_passphrase, read_secret
from webapp.config import settings
from webapp.db.in_use import InUse, in_use
from webapp.errors import in_one_line
from webapp.photos.files import PhotoFiles, photo_files, photo_name
from webapp.photos.folder import FolderFiles

# The database comes first: a log that is left alone is moved by the next restore.
ENDS = ("", *LOG_SUFFIXES)


@click.command()
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option("--replace", is_flag=True, help="Rename the existing database, do not delete it.")
@click.option("--passphrase-file", type=SECRET_FILE, help="The passphrase is in this file.")
def restore(file: Path, replace: bool, passphrase_file: Path | None) -> None:
    """Restore the server from the backup FILE. Stop the server first.

    The passphrase of an encrypted backup is asked for. The exit code is 1 if photos are damaged.
    """
    with one_line_errors():
        config = settings()
        target = sqlite_file(config["DATABASE_URL"])
        if target.exists() and not replace:
            raise click.ClickException(
                f"There is a database in {target}; --replace renames it and does not delete it."
            )
        # As for a new database: other users of the machine must not see what is in it.
        target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        try:
            with in_use(target, exclusive=True), private_folder(target.parent) as folder:
                plain = _decrypted(file, folder, passphrase_file)
                restored = unpack_database(plain, folder, file)
                photos = photo_files(config["PHOTO_FOLDER"])
                number = _free_number(target, photos)
                linked = _link_photos(photos, number) if target.exists() else []
                damaged = unpack_photos(plain, photos)
                with _signals_deferred():
                    aside = _move_aside(target, number)
                    restored.replace(target)
                    _say_what_was_done(file, aside + linked, damaged)
        except InUse:
            raise click.ClickException(
                f"A server or a command is using {target}: stop it first."
            ) from None
    with app_context(UPGRADE=True):
        # Opening it brings the schema up to date.
        pass
    if damaged:
        raise click.exceptions.Exit(1)


def _say_what_was_done(file: Path, aside: list[Path], damaged: list[str]) -> None:
    click.echo(f"The server is restored from {file}")
    if aside:
        click.echo(f"What was there before is in {', '.join(map(str, aside))}")
    click.echo(
        "Passphrases and signed-in devices are those of the backup. If a passphrase was changed or "
        "a device signed out since, set one anew: 'secondnose user passphrase NAME'."
    )
    if damaged:
        names = "\n".join(damaged)
        click.echo(
            f"Error: These photos are damaged in {file} and are missing now. The server can be "
            "started: phones send the photos that they still have, and an older backup may have "
            f"others.\n{names}",
            err=True,
        )


def _decrypted(file: Path, folder: Path, passphrase_file: Path | None) -> Path:
    """Return the path of the backup as a plain ZIP, in `folder` if it is encrypted."""
    if not is_encrypted(file):
        return file
    secret = read_secret(passphrase_file) if passphrase_file else ask_passphrase()
    plain = folder / "plain.zip"
    try:
        with private_file(plain) as out:
            decrypt_backup(file, out, secret)
    except CannotDecrypt:
        raise click.ClickException(
            f"{file} cannot be decrypted: the passphrase is wrong or the file is damaged."
        ) from None
    return plain


@contextmanager
def _signals_deferred() -> Iterator[None]:
    """Let the signals that end a command wait, so that a database and its log stay together.

    A mask is not enough: another thread of the process may take the signal.
    """
    received: list[int] = []
    numbers = (*STOP_SIGNALS, signal.SIGINT)
    # A signal that is ignored, as by nohup, stays ignored.
    before = {one: was for one in numbers if (was := signal.getsignal(one)) != signal.SIG_IGN}
    for number in before:
        signal.signal(number, lambda number, _frame: received.append(number))
    try:
        yield
    finally:
        for number, was in before.items():
            signal.signal(number, was)
        if received:
            signal.raise_signal(received[0])


def _free_number(target: Path, photos: PhotoFiles) -> int:
    """Return the first number under which nothing has been kept yet."""
    places = [(str(target), end) for end in ENDS]
    if isinstance(photos, FolderFiles):
        places.append((os.path.realpath(photos.folder), ""))
    number = 1
    while any(Path(f"{place}.before-{number}{end}").exists() for place, end in places):
        number += 1
    return number


def _link_photos(photos: PhotoFiles, number: int) -> list[Path]:
    """Link the photos into a second folder and return it, if there are any in a folder.

    The server deletes the photos that only the earlier database names.
    """
    if not isinstance(photos, FolderFiles):
        return []
    place = Path(f"{os.path.realpath(photos.folder)}.before-{number}")
    try:
        for owner_id, sha in photos.all_names():
            name = photo_name(owner_id, sha)
            (place / name).parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            os.link(photos.folder / name, place / name)
    except OSError as error:
        shutil.rmtree(place, ignore_errors=True)
        click.echo(
            f"The photos could not be linked into {place} ({in_one_line(error)}). The server "
            "deletes those that the restored notes do not have: if you may go back, copy "
            f"{photos.folder} before you start it.",
            err=True,
        )
    return [place] if place.exists() else []


def _move_aside(target: Path, number: int) -> list[Path]:
    """Rename the existing database and its logs, or logs alone; return the new paths.

    They are not opened: the database may be damaged, and SQLite deletes the log of an empty file.
    """
    found = [end for end in ENDS if Path(f"{target}{end}").exists()]
    aside = f"{target}.before-{number}"
    return [Path(f"{target}{end}").replace(f"{aside}{end}") for end in found]
