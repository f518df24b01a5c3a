"""Files of an unpacked archive, and names that a file manager adds when somebody packs it again."""

from __future__ import annotations

import os
from pathlib import Path
from typing import NoReturn

# Files of the folder view that macOS and Windows add to a folder (status: from memory).
_OF_FILE_MANAGERS = (".DS_Store", "Thumbs.db", "desktop.ini")


def files_in(folder: Path) -> list[Path]:
    """Return all files below a folder. Raises OSError: `rglob` leaves out what cannot be read."""
    found = os.walk(folder, onerror=_fail)
    return sorted(Path(inner, name) for inner, _, names in found for name in names)


def _fail(error: OSError) -> NoReturn:
    raise error


def folder_around(names: list[str]) -> str:
    """Return the folder that holds all files, with a slash, or an empty text.

    A file manager adds it when somebody packs the folder of an unpacked archive.
    """
    folder = names[0].partition("/")[0] + "/" if names else ""
    return folder if all(name.startswith(folder) for name in names) else ""


def is_of_the_system(name: str) -> bool:
    """Tell whether a file manager added the file when somebody packed the archive again."""
    *folders, last = name.split("/")
    return "__MACOSX" in folders[:1] or last in _OF_FILE_MANAGERS or last.startswith("._")
