"""Writes files completely or not at all, and only where nothing else is lost.

A file is written in a private folder next to its place. The folder is locked while it is used, so
that the next command can delete what an interrupted one left behind.
"""

from __future__ import annotations

import os
import shutil
import signal
import tempfile
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO

import click

from webapp.config import database_file
from webapp.db.in_use import InUse, in_use

FOLDER_PREFIX = "secondnose-unfinished-"
FILE = "unfinished.zip"
# SQLite applies these logs to whatever database has their name.
LOG_SUFFIXES = ("-wal", "-shm", "-journal")
STOP_SIGNALS = (signal.SIGTERM, signal.SIGHUP)


@contextmanager
def new_file(target: Path, database_url: str) -> Iterator[Path]:
    """Give a path to write; after the block, what is there becomes the file `target`."""
    _check_target(target, database_file(database_url))
    with private_folder(target.absolute().parent) as folder:
        yield folder / FILE
        (folder / FILE).replace(target)


@contextmanager
def private_folder(parent: Path) -> Iterator[Path]:
    """Give a folder for this command only; it is deleted, even if the command is stopped."""
    _delete_leftovers(parent)
    with (
        _exit_when_stopped(),
        tempfile.TemporaryDirectory(prefix=FOLDER_PREFIX, dir=parent) as folder,
        in_use(Path(folder, FILE), exclusive=True),
    ):
        yield Path(folder)


@contextmanager
def private_file(path: Path) -> Iterator[BinaryIO]:
    """Open a file of mode 0600: only the operator may read all notebooks and passphrase hashes."""
    with open(os.open(path, os.O_RDWR | os.O_CREAT | os.O_TRUNC, 0o600), "w+b") as out:
        yield out
        out.flush()
        os.fsync(out.fileno())


def _check_target(target: Path, database: Path | None) -> None:
    """Refuse to replace the database, what belongs to it, or any file that is no earlier ZIP."""
    ends = ("", *LOG_SUFFIXES, ".lock")
    if database and any(_is_same(target, Path(f"{database}{end}")) for end in ends):
        raise click.ClickException(f"{target} is used by the database: name another file.")
    if target.exists() and not zipfile.is_zipfile(target):
        raise click.ClickException(
            f"{target} exists and is no ZIP: name another file, or move that one away first."
        )


def _is_same(one: Path, other: Path) -> bool:
    """Compare two paths, also by what they link to."""
    if one.resolve() == other.resolve():
        return True
    return one.exists() and other.exists() and one.samefile(other)


def _delete_leftovers(parent: Path) -> None:
    """Delete the folders of interrupted commands, which may contain a plain copy of everything."""
    for folder in parent.glob(f"{FOLDER_PREFIX}*"):
        # A folder of a command that still runs, or of another user, stays.
        with suppress(InUse, OSError), in_use(folder / FILE, exclusive=True):
            shutil.rmtree(folder)


@contextmanager
def _exit_when_stopped() -> Iterator[None]:
    """Turn SIGTERM and SIGHUP into SystemExit, so that files are cleaned up.

    A second one ends the process at once.
    """
    received: list[int] = []

    def stop(number: int, _frame: object) -> None:
        received.append(number)
        signal.signal(number, signal.SIG_DFL)
        raise SystemExit(128 + number)

    # A signal that is ignored, as by nohup, stays ignored.
    before = {one: was for one in STOP_SIGNALS if (was := signal.getsignal(one)) != signal.SIG_IGN}
    for number in before:
        signal.signal(number, stop)
    try:
        yield
    except Exception:
        # A library written in C or Rust has converted SystemExit to an error of its own.
        if received:
            raise SystemExit(128 + received[0]) from None
        raise
    finally:
        for number, was in before.items():
            signal.signal(number, was)
