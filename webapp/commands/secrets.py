"""Read passphrases from a terminal, from standard input or from a file."""

from __future__ import annotations

import sys
from pathlib import Path

import click

SECRET_FILE = click.Path(exists=True, dir_okay=False, path_type=Path)


def prompt_passphrase() -> str:
    """Ask for a new passphrase twice; without a terminal, read a line of standard input."""
    return _ask(confirm=True)


def ask_passphrase() -> str:
    """Ask for a known passphrase; without a terminal, read a line of standard input."""
    return _ask(confirm=False)


def read_secret(file: Path) -> str:
    """Return the first line of a file. Raises click.ClickException if it is not UTF-8."""
    try:
        return file.read_text("utf-8").partition("\n")[0].rstrip("\r")
    except UnicodeDecodeError:
        raise click.ClickException(f"The passphrase in {file} must be UTF-8 text.") from None


def _ask(confirm: bool) -> str:
    if sys.stdin.isatty():
        asked: str = click.prompt("Passphrase", hide_input=True, confirmation_prompt=confirm)
        return asked
    try:
        line = sys.stdin.readline().rstrip("\r\n")
        # With the locale C, bytes that are no UTF-8 arrive as surrogates.
        line.encode()
    except UnicodeError:
        raise click.ClickException("The passphrase must be UTF-8 text.") from None
    return line
