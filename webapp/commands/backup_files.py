"""Names and number of the backups in a folder."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

_NAME = "secondnose-%Y-%m-%dT%H%M%SZ.zip"


def new_backup_path(folder: Path, now: datetime) -> Path:
    """Return the path of a backup of this time; names sort by time."""
    return folder / now.astimezone(UTC).strftime(_NAME)


def backup_time(file: Path) -> datetime | None:
    """Return the time in the name of a backup, None for any other file."""
    try:
        time = datetime.strptime(file.name, _NAME).replace(tzinfo=UTC)
    except ValueError:
        return None
    return time if new_backup_path(file.parent, time).name == file.name else None


def backups_in(folder: Path) -> list[Path]:
    """Return the backups in a folder, the latest first; other files are none."""
    if not folder.is_dir():
        return []
    return sorted((one for one in folder.iterdir() if backup_time(one)), reverse=True)


def split_by_time(backups: list[Path], now: datetime) -> tuple[list[Path], list[Path]]:
    """Return the backups up to a time, and those whose names have a later one."""
    latest = new_backup_path(Path(), now).name
    past = [one for one in backups if one.name <= latest]
    return past, backups[: len(backups) - len(past)]


def delete_old_backups(folder: Path, keep: int, now: datetime) -> int:
    """Delete all but the latest `keep` backups up to a time and return how many were deleted.

    Names with a later time are not counted: when the clock was wrong, nobody knows their age.
    """
    old = split_by_time(backups_in(folder), now)[0][keep:]
    for one in old:
        one.unlink(missing_ok=True)
    return len(old)


def delete_parts(folder: Path) -> None:
    """Delete the incomplete backups that earlier versions left in a folder."""
    for one in folder.glob("*.part"):
        if backup_time(one.with_suffix("")):
            one.unlink(missing_ok=True)
