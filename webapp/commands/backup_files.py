"""Names and number of the backups in a folder."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from pathlib import Path

_TIME = "%Y-%m-%dT%H%M%SZ"
# The second part is the start of the database's epoch, which earlier versions did not write.
_NAME = re.compile(r"secondnose-(\d{4}-\d\d-\d\dT\d{6}Z)(?:-([0-9a-f]{8}))?\.zip", re.ASCII)


def new_backup_path(folder: Path, now: datetime, epoch: str) -> Path:
    """Return the path of a backup of this time and database; names sort by time."""
    return folder / f"secondnose-{now.astimezone(UTC).strftime(_TIME)}-{epoch[:8]}.zip"


def backup_time(file: Path) -> datetime | None:
    """Return the time in the name of a backup, None for any other file."""
    found = _NAME.fullmatch(file.name)
    try:
        return datetime.strptime(found[1], _TIME).replace(tzinfo=UTC) if found else None
    except ValueError:
        return None


def backups_in(folder: Path, epoch: str | None = None) -> list[Path]:
    """Return the backups in a folder, the latest first; other files are none.

    With `epoch`, only those whose names say that they are of this database.
    """
    if not folder.is_dir():
        return []
    found = sorted((one for one in folder.iterdir() if backup_time(one)), reverse=True)
    return [one for one in found if epoch is None or _is_of(one, epoch)]


def _is_of(backup: Path, epoch: str) -> bool:
    found = _NAME.fullmatch(backup.name)
    return found is not None and found[2] == epoch[:8]


def split_by_time(backups: list[Path], now: datetime) -> tuple[list[Path], list[Path]]:
    """Return the backups up to a time, and those whose names have a later one."""
    past = [one for one in backups if (time := backup_time(one)) and time <= now]
    return past, [one for one in backups if one not in past]


def delete_old_backups(folder: Path, keep: int, now: datetime, epoch: str) -> int:
    """Delete all but a database's latest `keep` backups and return how many were deleted.

    Those of other databases stay, as do names with a later time than `now`: when the clock was
    wrong, nobody knows their age.
    """
    old = split_by_time(backups_in(folder, epoch), now)[0][keep:]
    for one in old:
        one.unlink(missing_ok=True)
    return len(old)


def delete_parts(folder: Path) -> None:
    """Delete the incomplete backups that earlier versions left in a folder."""
    for one in folder.glob("*.part"):
        if backup_time(one.with_suffix("")):
            one.unlink(missing_ok=True)
