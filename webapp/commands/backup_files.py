"""Names and number of the backups in a folder."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from pathlib import Path

_NAME = re.compile(r"secondnose-\d{4}-\d{2}-\d{2}T\d{6}Z\.zip")


def new_backup_path(folder: Path, now: datetime) -> Path:
    """Return the path of a backup of this time; names sort by time."""
    return folder / f"secondnose-{now.astimezone(UTC):%Y-%m-%dT%H%M%SZ}.zip"


def backups_in(folder: Path) -> list[Path]:
    """Return the backups in a folder, the latest first; other files are none."""
    if not folder.is_dir():
        return []
    return sorted((one for one in folder.iterdir() if _NAME.fullmatch(one.name)), reverse=True)


def delete_old_backups(folder: Path, keep: int) -> int:
    """Delete all but the latest `keep` backups and return how many were deleted."""
    old = backups_in(folder)[keep:]
    for one in old:
        one.unlink(missing_ok=True)
    return len(old)
