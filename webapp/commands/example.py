"""The invented example book, and taking any book over."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import click
from flask import current_app

from webapp import spec
from webapp.archive.load import ImportInterrupted, import_archive
from webapp.archive.parse import Archive, InvalidArchive, read_folder
from webapp.auth.owners import current_owner
from webapp.db.engine import write_transaction
from webapp.photos.storage import PhotoStore
from webapp.records.quota import OverQuota


def load_example() -> None:
    """Put the example into the acting owner's book, every record marked as such."""
    archive = parse_or_fail(lambda: read_folder(spec.example_root()))
    for record in archive.records:
        record["fields"].setdefault("example", True)
        record["clocks"].setdefault("example", max(record["clocks"].values()))
    import_or_fail(archive)


def parse_or_fail(read: Callable[[], Archive]) -> Archive:
    """What `read` gives; a damaged book ends the command in one line."""
    try:
        return read()
    except InvalidArchive as error:
        raise click.ClickException(f"Nothing was imported. {error}") from None


def import_or_fail(archive: Archive) -> Any:
    """Merge it into the acting owner's book; one that is damaged or too large not at all."""
    store = PhotoStore.of(current_app.config)
    try:
        return import_archive(write_transaction, current_owner(), archive, store)
    except (InvalidArchive, OverQuota) as error:
        raise click.ClickException(f"Nothing was imported. {error}") from None
    except ImportInterrupted as error:
        raise click.ClickException(str(error)) from None


def photo_folder() -> Path:
    """Where the app keeps pictures."""
    return Path(current_app.config["PHOTO_FOLDER"])
