"""secondnose doctor: says in a few lines what is right and wrong with a set-up."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any, Literal
from urllib.parse import urlsplit

import click
from sqlalchemy import func, select
from sqlalchemy.exc import SQLAlchemyError

from webapp import DATABASE_STATE_MESSAGES, create_app, migrations, require_database
from webapp.auth.owners import has_passphrase, set_current_owner
from webapp.commands.backup_files import backup_time, backups_in, split_by_time
from webapp.commands.context import one_line_errors
from webapp.config import database_file
from webapp.db.engine import db, read_transaction
from webapp.db.full_disk import database_problem
from webapp.db.in_use import lock_file
from webapp.db.row_level_security import is_enforced
from webapp.db.tables import owner, photo_bytes, safe
from webapp.errors import StartupError, in_one_line
from webapp.photos.files import PhotoFiles, photo_files
from webapp.photos.folder import FolderFiles

Level = Literal["ok", "note", "wrong"]
MIN_FREE_BYTES = 1_000_000_000
MAX_BACKUP_AGE = timedelta(days=2)
OWNERS_CHECKED = 100
PHOTOS_CHECKED = 100


@dataclass(frozen=True, slots=True)
class Finding:
    """One line of the report; only `wrong` makes the command fail."""

    level: Level
    subject: str
    text: str


@click.command()
@click.option("--backups", type=click.Path(path_type=Path), help="The folder of the backups.")
def doctor(backups: Path | None) -> None:
    """Check address, proxy, https, database, photos, disk and backups.

    It changes nothing. The exit code is 1 if something is wrong.
    """
    with one_line_errors():
        app = create_app({"CHECK_DATABASE": False})
        config = app.config
        files = photo_files(config["PHOTO_FOLDER"])
        findings = [_address(config), _proxy(config)]
        with app.app_context():
            state = _database_state(config)
            findings.append(state)
            epoch = None
            if state.level == "ok":
                with read_transaction() as connection:
                    epoch = connection.scalar(select(safe.c.epoch))
                findings += [_owners(config), _role(app), _photos(files)]
            db.engine.dispose()
        findings += [
            _disk(config, files),
            _writable(config, files),
            _backups(backups, epoch),
        ]
    for one in findings:
        click.echo(f"{one.level:<6}{one.subject:<12}{one.text}")
    if any(one.level == "wrong" for one in findings):
        raise SystemExit(1)


def _address(config: Any) -> Finding:
    address = config["ADDRESS"]
    if not address:
        return Finding("note", "address", "SECONDNOSE_ADDRESS is not set: only for this machine.")
    if urlsplit(address).scheme != "https":
        return Finding("note", "address", f"{address} is not https: phones cannot work offline.")
    return Finding("ok", "address", f"{address}")


def _proxy(config: Any) -> Finding:
    """Report a https address without a proxy: the cookie would not be Secure."""
    count, https = config["PROXIES"], urlsplit(config["ADDRESS"]).scheme == "https"
    if https and not count:
        text = "The address is https, but SECONDNOSE_PROXIES is 0: set the number of proxies."
        return Finding("wrong", "proxy", text)
    if count and not config["ADDRESS"]:
        text = f"{count} proxies are trusted, but SECONDNOSE_ADDRESS is not set."
        return Finding("wrong", "proxy", text)
    return Finding("ok", "proxy", f"{count} trusted")


def _database_state(config: Any) -> Finding:
    try:
        require_database(config["DATABASE_URL"])
        state = migrations.state(db.engine)
    except StartupError as error:
        return Finding("wrong", "database", str(error))
    except (SQLAlchemyError, OSError) as error:
        return Finding("wrong", "database", database_problem(error, config["DATABASE_URL"]))
    if state != "current":
        return Finding("wrong", "database", DATABASE_STATE_MESSAGES[state])
    return Finding("ok", "database", f"{db.engine.dialect.name}, schema {migrations.head()}")


def _owners(config: Any) -> Finding:
    with read_transaction() as connection:
        count = connection.scalar(select(func.count()).select_from(owner))
        protected = has_passphrase(connection)
    if not protected and (config["ADDRESS"] or config["PROXIES"]):
        return Finding("wrong", "owners", "No owner has a passphrase; the server will not start.")
    return Finding("ok", "owners", f"{count}" + ("" if protected else ", without a passphrase"))


def _role(app: Any) -> Finding:
    """Report a PostgreSQL role that bypasses row-level security."""
    if db.engine.dialect.name != "postgresql":
        return Finding("ok", "role", "SQLite has no roles")
    if is_enforced(app):
        return Finding("ok", "role", "row-level security applies")
    return Finding("wrong", "role", "The role bypasses row-level security: use an ordinary role.")


def _photos(files: PhotoFiles) -> Finding:
    """Look for the files of the latest photos of each of the first owners."""
    try:
        count, missing = _count_photos(files)
    except OSError as error:
        return Finding("wrong", "photos", f"They cannot be looked for: {in_one_line(error)}")
    if missing:
        text = f"The files of {missing} photos are missing: copy them from a backup."
        return Finding("wrong", "photos", text)
    return Finding("ok", "photos", f"{count} looked for, all there")


def _count_photos(files: PhotoFiles) -> tuple[int, int]:
    """Return how many photos were looked for, and how many are missing."""
    with read_transaction() as connection:
        ids = [*connection.scalars(select(owner.c.id).order_by(owner.c.id).limit(OWNERS_CHECKED))]
    count = missing = 0
    for owner_id in ids:
        # Row-level security shows the photos of the current owner only.
        set_current_owner(owner_id)
        latest = (
            select(photo_bytes.c.sha256)
            .where(photo_bytes.c.owner_id == owner_id)
            .order_by(photo_bytes.c.kept_at.desc())
            .limit(PHOTOS_CHECKED)
        )
        with read_transaction() as connection:
            shas = {*connection.scalars(latest)}
        count, missing = count + len(shas), missing + len(shas - files.existing(owner_id, shas))
    return count, missing


def _disk(config: Any, files: PhotoFiles) -> Finding:
    """Report little free space where the database (SQLite) and the photos are."""
    file = database_file(config["DATABASE_URL"])
    folders = [FolderFiles(file.parent).nearest_folder()] if file else []
    if isinstance(files, FolderFiles):
        folders.append(files.nearest_folder())
    if not folders:
        return Finding("ok", "disk", "The server keeps nothing on this machine.")
    free = min(shutil.disk_usage(folder).free for folder in folders)
    level: Level = "ok" if free >= MIN_FREE_BYTES else "wrong"
    return Finding(level, "disk", f"{free / 1e9:.1f} GB free")


def _writable(config: Any, files: PhotoFiles) -> Finding:
    try:
        files.check()
    except OSError as error:
        return Finding("wrong", "folder", f"Photos cannot be written: {in_one_line(error)}")
    file = database_file(config["DATABASE_URL"])
    try:
        if file is not None:
            _try_to_write(file)
    except OSError as error:
        return Finding("wrong", "folder", f"The database cannot be written: {in_one_line(error)}")
    return Finding("ok", "folder", "database and photos can be written")


def _try_to_write(file: Path) -> None:
    """Open a database and its lock for writing, or write in their folder. Raises OSError."""
    for one in (file, lock_file(file)):
        if one.exists():
            one.open("r+b").close()
    FolderFiles(file.parent).check()


def _backups(folder: Path | None, epoch: str | None) -> Finding:
    if folder is None:
        return Finding("note", "backup", "Not checked; name the folder with --backups.")
    now = datetime.now(UTC)
    found, later = split_by_time(backups_in(folder, epoch), now)
    if later:
        text = f"Check the clock: {later[0].name} has a time in the future; delete or rename it."
        return Finding("wrong", "backup", text)
    # The time in the name, because copying a backup changes that of the file.
    latest = backup_time(found[0]) if found else None
    if latest is None:
        return Finding("wrong", "backup", f"There is none of this database in {folder}.")
    age = now - latest
    level: Level = "ok" if age <= MAX_BACKUP_AGE else "wrong"
    hours = age.total_seconds() / 3600
    return Finding(level, "backup", f"{len(found)}, the latest {hours:.0f} hours old")
