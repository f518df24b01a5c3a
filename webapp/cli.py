"""The command `secondnose`."""

from __future__ import annotations

import os
from pathlib import Path

import click
from flask import current_app
from sqlalchemy import select

from webapp import DATABASE_STATE_MESSAGES, migrations
from webapp.archive.dump import export_archive
from webapp.archive.parse import Archive, read_folder, read_zip
from webapp.auth.owners import current_owner
from webapp.commands.backup import backup, restore
from webapp.commands.context import app_context, with_owner
from webapp.commands.example import (
    import_or_fail,
    load_example,
    parse_or_fail,
    photo_folder,
)
from webapp.commands.serve import serve
from webapp.commands.users import user
from webapp.db.engine import db, read_transaction
from webapp.db.tables import owner


@click.group()
@click.version_option(package_name="secondnose", prog_name="secondnose")
def main() -> None:
    """Second Nose: a pocket tasting book that gets to know its owner's palate.

    The book is ./book/secondnose.sqlite, or what DATABASE_URL names.
    """


for command in (serve, user, backup, restore):
    main.add_command(command)


@main.command()
@with_owner
def demo() -> None:
    """Load the invented example book into an empty one."""
    with read_transaction() as connection:
        seq = connection.scalar(select(owner.c.seq).where(owner.c.id == current_owner()))
    if seq:
        raise click.ClickException(
            "The book is not empty; the example goes into an empty one only."
        )
    load_example()


@main.command()
@click.argument("file", type=click.Path(dir_okay=False, path_type=Path))
@with_owner
def export(file: Path) -> None:
    """Write the whole book into FILE, a ZIP."""
    beside = file.with_name(file.name + ".part")
    # Mode 0600: other users of the machine must not read the notebook.
    descriptor = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    os.fchmod(descriptor, 0o600)
    with os.fdopen(descriptor, "wb") as out, read_transaction() as connection:
        count = export_archive(connection, current_owner(), photo_folder(), out)
    beside.replace(file)
    click.echo(f"{count} records written to {file}")


@main.command("import")
@click.argument("source", type=click.Path(exists=True, path_type=Path))
@with_owner
def import_(source: Path) -> None:
    """Merge the book in SOURCE, a ZIP or a folder, or refuse it whole."""
    archive = parse_or_fail(lambda: read_folder(source) if source.is_dir() else _read_zip(source))
    taken = import_or_fail(archive)
    click.echo(
        f"New: {taken.records} records, {taken.revisions} earlier values, {taken.photos} photos"
    )


def _read_zip(path: Path) -> Archive:
    with path.open("rb") as file:
        return read_zip(file, current_app.config["MAX_IMPORT_BYTES"])


@main.group("db")
def database() -> None:
    """The database's schema."""


@database.command()
def upgrade() -> None:
    """Bring the database up to this version; make it when there is none."""
    with app_context(CHECK_DATABASE=False):
        if migrations.state(db.engine) == "newer":
            raise click.ClickException(DATABASE_STATE_MESSAGES["newer"])
        migrations.upgrade(db.engine)
    click.echo(f"The database is at {migrations.head()}")


@database.command()
def check() -> None:
    """Say how the database stands; fails when it is not current."""
    with app_context(CHECK_DATABASE=False):
        state = migrations.state(db.engine)
    click.echo(state)
    if state != "current":
        raise click.ClickException(DATABASE_STATE_MESSAGES[state])
