"""The command `secondnose`."""

from __future__ import annotations

import functools
import ipaddress
import socket
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import click
from flask import Flask, current_app

from webapp import CURES, create_app, migrations, spec
from webapp.accounts.owners import current_owner, owners
from webapp.db import db, reading, writing
from webapp.errors import StartError
from webapp.export.read import Book, DamagedBook, read_folder, read_zip
from webapp.export.take_over import take_over
from webapp.export.write import write_book

THREADS = 8


@click.group()
@click.version_option(package_name="secondnose", prog_name="secondnose")
def main() -> None:
    """Second Nose: a pocket tasting book that gets to know its owner's palate.

    The book is ./book/secondnose.sqlite, or what DATABASE_URL names.
    """


@contextmanager
def _opened(**config: Any) -> Iterator[Flask]:
    """The app over its database, for as long as the block lasts; says in one line why not."""
    try:
        app = create_app(config)
    except StartError as error:
        raise click.ClickException(str(error)) from None
    with app.app_context(), app.test_request_context():
        try:
            yield app
        finally:
            db.engine.dispose()


def _with_book(command: Callable[..., None]) -> Callable[..., None]:
    """Run a command over an upgraded book."""

    @functools.wraps(command)
    def run(*args: Any, **kwargs: Any) -> None:
        with _opened(UPGRADE=True):
            command(*args, **kwargs)

    return run


@main.command()
@click.option("--host", default="127.0.0.1", show_default=True)
@click.option("--port", default=8000, show_default=True, type=click.IntRange(0, 65535))
@click.option("--demo/--no-demo", default=False, help="Load the invented book into an empty one.")
def serve(host: str, port: int, demo: bool) -> None:
    """Serve the book on this machine."""
    if not _is_loopback(host):
        raise click.ClickException(
            f"Not serving on {host}: this version has no passphrases yet, so it answers on this "
            "machine only. Leave out --host, or put a tunnel of your own in front."
        )
    with _opened(UPGRADE=True) as app:
        if demo:
            _load_demo()
    _listen(app, host, port)


def _is_loopback(host: str) -> bool:
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


def _listen(app: Flask, host: str, port: int) -> None:
    import waitress  # type: ignore[import-untyped]

    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    try:
        listening = socket.create_server((host, port), family=family, backlog=128)
    except OSError as error:
        raise click.ClickException(
            f"Cannot listen on {host}:{port}: {error.strerror or error}. Choose another --port."
        ) from None
    shown = f"[{host}]" if ":" in host else host
    click.echo(f"Second Nose serves http://{shown}:{listening.getsockname()[1]}")
    sys.stdout.flush()
    with listening:
        waitress.serve(
            app,
            sockets=[listening],
            threads=THREADS,
            max_request_body_size=app.config["MAX_IMPORT_BYTES"],
            ident=None,
            _quiet=True,
        )


@main.command()
@_with_book
def demo() -> None:
    """Load the invented example book into an empty one."""
    if not _load_demo():
        raise click.ClickException(
            "The book is not empty; the example goes into an empty one only."
        )


def _load_demo() -> bool:
    """True when the book was empty and the example went in, every record marked as such."""
    if any(seq for _, _, seq in owners()):
        return False
    book = _read(lambda: read_folder(spec.demo_root()))
    for record in book.records:
        record["fields"].setdefault("example", True)
        record["clocks"].setdefault("example", max(record["clocks"].values()))
    _take_over(book)
    return True


@main.command()
@click.argument("file", type=click.Path(dir_okay=False, path_type=Path))
@_with_book
def export(file: Path) -> None:
    """Write the whole book into FILE, a ZIP."""
    beside = file.with_name(file.name + ".part")
    with reading() as connection, beside.open("wb") as out:
        count = write_book(connection, current_owner(), _photo_folder(), out)
    beside.replace(file)
    click.echo(f"{count} records written to {file}")


@main.command("import")
@click.argument("source", type=click.Path(exists=True, path_type=Path))
@_with_book
def import_(source: Path) -> None:
    """Merge the book in SOURCE, a ZIP or a folder, or refuse it whole."""
    book = _read(lambda: read_folder(source) if source.is_dir() else _read_zip(source))
    taken = _take_over(book)
    click.echo(
        f"New: {taken.records} records, {taken.revisions} earlier values, {taken.photos} photos"
    )


def _read_zip(path: Path) -> Book:
    with path.open("rb") as file:
        return read_zip(file, current_app.config["MAX_IMPORT_BYTES"])


def _read(read: Callable[[], Book]) -> Book:
    try:
        return read()
    except DamagedBook as error:
        raise click.ClickException(f"Nothing was imported. {error}") from None


def _take_over(book: Book) -> Any:
    try:
        with writing() as connection:
            return take_over(
                connection,
                current_owner(),
                book,
                _photo_folder(),
                current_app.config["MAX_PHOTO_PIXELS"],
            )
    except DamagedBook as error:
        raise click.ClickException(f"Nothing was imported. {error}") from None


def _photo_folder() -> Path:
    return Path(current_app.config["PHOTO_FOLDER"])


@main.group()
def user() -> None:
    """Owners of books on this server."""


@user.command("list")
@_with_book
def list_users() -> None:
    """Who has a book here, and how many changes it has seen."""
    for id_, name, seq in owners():
        click.echo(f"{id_}\t{name}\t{seq}")


@main.group("db")
def database() -> None:
    """The database's schema."""


@database.command()
def upgrade() -> None:
    """Bring the database up to this version; make it when there is none."""
    with _opened(CHECK_DATABASE=False):
        if migrations.state(db.engine) == "newer":
            raise click.ClickException(CURES["newer"])
        migrations.upgrade(db.engine)
    click.echo(f"The database is at {migrations.head()}")


@database.command()
def check() -> None:
    """Say how the database stands; fails when it is not current."""
    with _opened(CHECK_DATABASE=False):
        state = migrations.state(db.engine)
    click.echo(state)
    if state != "current":
        raise click.ClickException(CURES[state])
