"""The invented example book, and taking any book over."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import click
from flask import current_app

from webapp import spec
from webapp.accounts.owners import current_owner
from webapp.db import writing
from webapp.export.read import Book, DamagedBook, read_folder
from webapp.export.take_over import take_over


def load_example() -> None:
    """Put the example into the acting owner's book, every record marked as such."""
    book = read_or_refuse(lambda: read_folder(spec.demo_root()))
    for record in book.records:
        record["fields"].setdefault("example", True)
        record["clocks"].setdefault("example", max(record["clocks"].values()))
    take_over_or_refuse(book)


def read_or_refuse(read: Callable[[], Book]) -> Book:
    """What `read` gives; a damaged book ends the command in one line."""
    try:
        return read()
    except DamagedBook as error:
        raise click.ClickException(f"Nothing was imported. {error}") from None


def take_over_or_refuse(book: Book) -> Any:
    """Merge it into the acting owner's book, whole or not at all."""
    try:
        with writing() as connection:
            return take_over(
                connection,
                current_owner(),
                book,
                photo_folder(),
                current_app.config["MAX_PHOTO_PIXELS"],
            )
    except DamagedBook as error:
        raise click.ClickException(f"Nothing was imported. {error}") from None


def photo_folder() -> Path:
    """Where the app keeps pictures."""
    return Path(current_app.config["PHOTO_FOLDER"])
