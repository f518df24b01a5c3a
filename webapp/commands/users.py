"""secondnose user: owners of books on this server."""

from __future__ import annotations

import sys
import time

import click

from webapp.auth import sessions
from webapp.auth.erasure import erase_owner
from webapp.auth.errors import BookHidden, NameTaken, WeakPassphrase
from webapp.auth.owners import (
    add_owner,
    owners,
    rename_owner,
    require_an_owner,
    set_current_owner,
    set_passphrase,
)
from webapp.commands.context import resolve_owner, with_app
from webapp.commands.example import photo_folder
from webapp.db.engine import write_transaction


@click.group()
def user() -> None:
    """Owners of books on this server."""


@user.command("list")
@with_app
def list_users() -> None:
    """Who has a book here, and how many changes it has seen."""
    for id_, name, seq in owners():
        click.echo(f"{id_}\t{name}\t{seq}")


@user.command()
@click.argument("name")
@with_app
def add(name: str) -> None:
    """Give NAME a book of their own. The passphrase is asked for, or read from a pipe."""
    given = _ask()
    try:
        with write_transaction() as connection:
            add_owner(connection, name, given)
    except (NameTaken, WeakPassphrase, BookHidden) as error:
        raise click.ClickException(str(error)) from None
    click.echo(f"{name} can sign in now.")


@user.command()
@click.argument("name")
@click.option("--keep-devices", is_flag=True, help="Leave the devices signed in, and the passkeys.")
@with_app
def passphrase(name: str, keep_devices: bool) -> None:
    """Set the passphrase of NAME; their devices are signed out, their passkeys removed."""
    owner_id, given = resolve_owner(name), _ask()
    try:
        with write_transaction() as connection:
            set_passphrase(connection, owner_id, given)
            if not keep_devices:
                sessions.end_all(connection, owner_id, "passphrase", int(time.time()))
    except WeakPassphrase as error:
        raise click.ClickException(str(error)) from None
    click.echo(f"The passphrase of {name} is set.")


@user.command()
@click.argument("name")
@click.argument("new_name")
@with_app
def rename(name: str, new_name: str) -> None:
    """Call NAME by NEW_NAME from now on; phones go on as before."""
    owner_id = resolve_owner(name)
    try:
        with write_transaction() as connection:
            rename_owner(connection, owner_id, new_name)
    except NameTaken as error:
        raise click.ClickException(str(error)) from None
    click.echo(f"{name} is {new_name} now.")


@user.command()
@click.argument("name")
@click.option("--yes", is_flag=True, help="Do not ask.")
@with_app
def remove(name: str, yes: bool) -> None:
    """Erase the book of NAME, its photos and its sign-ins, for good."""
    owner_id = resolve_owner(name)
    if not yes:
        click.confirm(
            f"Erase the book of {name}, with every note and every photo, for good? "
            f"'secondnose export FILE --owner {name}' makes a copy first.",
            abort=True,
        )
    set_current_owner(owner_id)
    with write_transaction() as connection:
        erase_owner(connection, photo_folder(), owner_id, int(time.time()))
        require_an_owner(connection)
    click.echo(f"{name} is gone. Backups that were made before still hold the book.")


def _ask() -> str:
    if sys.stdin.isatty():
        asked: str = click.prompt("Passphrase", hide_input=True, confirmation_prompt=True)
        return asked
    return sys.stdin.readline().rstrip("\r\n")
