"""Imports the example notebook, or any archive, with errors for the command line."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import click
from flask import current_app

from webapp.archive.example import read_example
from webapp.archive.load import ImportInterrupted, import_archive
from webapp.archive.parse import Archive, InvalidArchive
from webapp.auth.owners import current_owner
from webapp.db.engine import write_transaction
from webapp.photos.files import PhotoFiles, photo_files
from webapp.photos.storage import PhotoStore
from webapp.records.quota import OverQuota
from webapp.records.record import Record


def load_example() -> None:
    """Import the example for the current owner, with every record marked as an example."""
    archive = parse_or_fail(lambda: read_example(_language()))
    import_or_fail(replace(archive, records=lambda: map(_marked, archive.records())))


def _marked(record: Record) -> Record:
    latest = max(record["clocks"].values())
    return {
        **record,
        "fields": {"example": True, **record["fields"]},
        "clocks": {"example": latest, **record["clocks"]},
    }


def _language() -> str:
    """Return the language of the machine; no phone has told its own yet."""
    # The order of POSIX, in which an empty variable counts as none.
    tags = filter(None, map(os.environ.get, ("LC_ALL", "LC_MESSAGES", "LANG")))
    return next(tags, "en")[:2]


def parse_or_fail(read: Callable[[], Archive]) -> Archive:
    """Return `read()`; an invalid archive ends the command with a one-line error."""
    try:
        return read()
    except InvalidArchive as error:
        raise click.ClickException(f"Nothing was imported. {error}") from None


def import_or_fail(archive: Archive) -> Any:
    """Import the archive for the current owner; an invalid or too large one changes nothing."""
    store = PhotoStore.of(current_app.config)
    try:
        return import_archive(write_transaction, current_owner(), archive, store)
    except (InvalidArchive, OverQuota) as error:
        raise click.ClickException(f"Nothing was imported. {error}") from None
    except ImportInterrupted as error:
        raise click.ClickException(str(error)) from None


def app_photo_files() -> PhotoFiles:
    """Return the app's store of pictures."""
    return photo_files(current_app.config["PHOTO_FOLDER"])
