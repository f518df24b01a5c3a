"""secondnose user: manages the owners of notebooks on this server."""

from __future__ import annotations

import time
from functools import partial

import click

from webapp.auth import sessions
from webapp.auth.erasure import erase_owner
from webapp.auth.errors import NameTaken, NotebookHidden, WeakPassphrase
from webapp.auth.names import normalize_name
from webapp.auth.owners import (
    add_owner,
    owners,
    rename_owner,
    require_an_owner,
    set_current_owner,
    set_passphrase,
)
from webapp.commands.context import resolve_owner, with_app
from webapp.commands.example import app_photo_files
from webapp.commands.secrets import prompt_passphrase
from webapp.db.engine import empty_log, write_transaction


@click.group()
def user() -> None:
    """Manage the owners of notebooks on this server."""


@user.command("list")
@with_app
def list_users() -> None:
    """List id, name and number of changes of each owner."""
    for id_, name, seq in owners():
        click.echo(f"{id_}\t{name}\t{seq}")


@user.command()
@click.argument("name")
@partial(with_app, create=True)
def add(name: str) -> None:
    """Add the owner NAME. The passphrase is prompted for, or read from a pipe."""
    secret = prompt_passphrase()
    try:
        with write_transaction() as connection:
            add_owner(connection, name, secret)
    except (NameTaken, WeakPassphrase, NotebookHidden) as error:
        raise click.ClickException(str(error)) from None
    click.echo(f"{normalize_name(name)} can sign in now.")


@user.command()
@click.argument("name")
@click.option("--keep-devices", is_flag=True, help="Leave the devices signed in, and the passkeys.")
@with_app
def passphrase(name: str, keep_devices: bool) -> None:
    """Set the passphrase of NAME, sign their devices out and remove their passkeys."""
    owner_id, secret = resolve_owner(name), prompt_passphrase()
    try:
        with write_transaction() as connection:
            set_passphrase(connection, owner_id, secret)
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
    """Rename the owner NAME to NEW_NAME; phones stay signed in."""
    owner_id = resolve_owner(name)
    try:
        with write_transaction() as connection:
            rename_owner(connection, owner_id, new_name)
    except NameTaken as error:
        raise click.ClickException(str(error)) from None
    click.echo(f"{normalize_name(name)} is now {normalize_name(new_name)}.")


@user.command()
@click.argument("name")
@click.option("--yes", is_flag=True, help="Do not ask for confirmation.")
@with_app
def remove(name: str, yes: bool) -> None:
    """Delete the notebook of NAME, its photos and its sign-ins permanently."""
    owner_id = resolve_owner(name)
    if not yes:
        click.confirm(
            f"Permanently delete the notebook of {name} with all notes and photos? "
            f"'secondnose export FILE --owner {name}' makes a copy first.",
            abort=True,
        )
    set_current_owner(owner_id)
    with write_transaction() as connection:
        erase_owner(connection, app_photo_files().delete_owner, owner_id, int(time.time()))
        require_an_owner(connection)
    empty_log()
    click.echo(f"{name} is deleted. Earlier backups still contain the notebook.")
