"""The environment of a command: app context, owner, and one-line errors."""

from __future__ import annotations

import functools
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any

import click
from flask import Flask
from sqlalchemy.exc import SQLAlchemyError

from webapp import create_app, require_database
from webapp.auth.owners import find_owner, set_current_owner, single_owner
from webapp.config import database_file, settings
from webapp.db.engine import db, read_transaction
from webapp.db.full_disk import database_problem
from webapp.db.in_use import InUse, in_use
from webapp.db.reading import reading
from webapp.errors import StartupError, in_one_line


@contextmanager
def app_context(*, reads: bool = False, **config: Any) -> Iterator[Flask]:
    """Enter the app's context with its database locked for use; print errors as one line.

    `reads`: only for reading, which works where nothing can be written beside the database.
    """
    with one_line_errors(), ExitStack() as locks:
        url = settings(config)["DATABASE_URL"]
        file = database_file(url)
        is_new = file is not None and not file.exists()
        if file is not None and reads:
            require_database(url)
            config["READ_AT"] = locks.enter_context(reading(file))
        app = create_app(config)
        require_database(url)
        if is_new and app.config["CREATE"]:
            click.echo(f"There is a new database now, in {file}")
        locks.enter_context(in_use(None if reads else file))
        with app.app_context(), app.test_request_context():
            # A restore may have replaced the file before it was locked.
            db.engine.dispose()
            try:
                yield app
            finally:
                db.engine.dispose()


@contextmanager
def one_line_errors() -> Iterator[None]:
    """Convert errors of database, disk or settings to a one-line error of the command."""
    try:
        yield
    except StartupError as error:
        raise click.ClickException(str(error)) from None
    except InUse as error:
        raise click.ClickException(f"{error} A restore is running, or an upgrade.") from None
    except (SQLAlchemyError, sqlite3.Error) as error:
        raise click.ClickException(database_problem(error, settings()["DATABASE_URL"])) from None
    except OSError as error:
        raise click.ClickException(in_one_line(error)) from None


def sqlite_file(url: str) -> Path:
    """Return the file of an SQLite database; PostgreSQL ends the command."""
    file = database_file(url)
    if file is None:
        raise click.ClickException(
            "The database is PostgreSQL: use pg_dump and pg_restore, and copy the photos."
        )
    return file


def with_app(command: Callable[..., None], *, create: bool = False) -> Callable[..., None]:
    """Run a command with the database and no owner; `create`: make the database if missing."""

    @functools.wraps(command)
    def run(*args: Any, **kwargs: Any) -> None:
        with app_context(CREATE=create):
            command(*args, **kwargs)

    return run


def with_owner(
    command: Callable[..., None], *, create: bool = False, reads: bool = False
) -> Callable[..., None]:
    """Run a command for one owner: the only one, or the one that --owner names."""

    @click.option("--owner", default=None, help="Name of the owner, if there are several.")
    @functools.wraps(command)
    def run(*args: Any, owner: str | None, **kwargs: Any) -> None:
        with app_context(reads=reads, CREATE=create):
            set_current_owner(resolve_owner(owner))
            command(*args, **kwargs)

    return run


def resolve_owner(name: str | None) -> int:
    """Return the id of the owner of this name or, without a name, of the only owner."""
    with read_transaction() as connection:
        found = single_owner(connection) if name is None else find_owner(connection, name)
    if found is not None:
        return int(found.id)
    if name is None:
        raise click.ClickException("There are several owners; name one with --owner.")
    raise click.ClickException(f"There is no owner named {name}; see 'secondnose user list'.")
