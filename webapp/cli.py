"""The command `secondnose`."""

from __future__ import annotations

from contextlib import ExitStack
from functools import partial
from pathlib import Path

import click
from flask import current_app
from sqlalchemy import select

from webapp import DATABASE_STATE_MESSAGES, migrations
from webapp.archive.dump import export_archive
from webapp.archive.parse import Archive, read_folder, read_zip
from webapp.auth.owners import current_owner
from webapp.commands.backup import backup
from webapp.commands.context import app_context, with_owner
from webapp.commands.doctor import doctor
from webapp.commands.example import (
    app_photo_files,
    import_or_fail,
    load_example,
    parse_or_fail,
)
from webapp.commands.new_file import new_file, private_file
from webapp.commands.restore import restore
from webapp.commands.serve import serve
from webapp.commands.users import user
from webapp.db.engine import db, read_transaction
from webapp.db.tables import owner


@click.group()
@click.version_option(package_name="secondnose", prog_name="secondnose")
def main() -> None:
    """Second Nose: a wine tasting notebook that learns its owner's taste.

    The database is ./book/secondnose.sqlite, or the one in DATABASE_URL.
    """


for command in (serve, user, backup, restore, doctor):
    main.add_command(command)


@main.command()
@partial(with_owner, create=True)
def demo() -> None:
    """Load the example notebook into an empty one."""
    with read_transaction() as connection:
        seq = connection.scalar(select(owner.c.seq).where(owner.c.id == current_owner()))
    if seq:
        raise click.ClickException(
            "The notebook is not empty; the example is loaded into an empty one only."
        )
    load_example()


@main.command()
@click.argument("file", type=click.Path(dir_okay=False, path_type=Path))
@partial(with_owner, reads=True)
def export(file: Path) -> None:
    """Write the whole notebook to FILE, a ZIP."""
    with (
        new_file(file, current_app.config["DATABASE_URL"]) as unfinished,
        private_file(unfinished) as out,
        read_transaction() as connection,
    ):
        count = export_archive(connection, current_owner(), app_photo_files(), out)
    click.echo(f"{count} records written to {file}")


@main.command("import")
@click.argument("source", type=click.Path(exists=True, path_type=Path))
@partial(with_owner, create=True)
def import_(source: Path) -> None:
    """Merge the archive SOURCE, a ZIP or a folder; an invalid one changes nothing."""
    # The pictures are read from the file while they are imported, so it stays open until then.
    with ExitStack() as opened:
        counts = import_or_fail(parse_or_fail(lambda: _read(source, opened)))
    click.echo(
        f"New: {counts.records} records, {counts.revisions} earlier values, {counts.photos} photos"
    )
    for skipped in counts.skipped:
        click.echo(f"Not merged ({skipped.code}): {skipped.kind} {skipped.id}")


def _read(source: Path, opened: ExitStack) -> Archive:
    if source.is_dir():
        return read_folder(source)
    file = opened.enter_context(source.open("rb"))
    return read_zip(file, current_app.config["MAX_IMPORT_BYTES"])


@main.group("db")
def database() -> None:
    """The database's schema."""


@database.command()
def upgrade() -> None:
    """Upgrade the database to this version; create it if there is none."""
    with app_context(UPGRADE=True):
        # Opening it migrates it.
        pass
    click.echo(f"The database is at {migrations.head()}")


@database.command()
def check() -> None:
    """Print the state of the database's schema; fail if it is not current."""
    with app_context(CHECK_DATABASE=False):
        state = migrations.state(db.engine)
    click.echo(state)
    if state != "current":
        raise click.ClickException(DATABASE_STATE_MESSAGES[state])
