"""Quotas of an owner: number of records, number of pictures, bytes of pictures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, func, select

from webapp.db.tables import photo_bytes, record

_MAX_SQL_IDS = 500


class OverQuota(Exception):
    """A quota is exceeded; `code` is too_many_records, too_many_photos or too_many_photo_bytes."""

    def __init__(self, code: str, bound: int) -> None:
        super().__init__(f"{code}: {bound} at most")
        self.code = code
        self.bound = bound


@dataclass(frozen=True, slots=True)
class Quota:
    """The quotas, the same for every owner of a server; 0: no limit."""

    records: int
    photos: int
    photo_bytes: int

    @classmethod
    def of(cls, config: Mapping[str, Any]) -> Quota:
        """Return the quotas of an app's configuration."""
        return cls(config["MAX_RECORDS"], config["MAX_PHOTOS"], config["MAX_PHOTO_STORE_BYTES"])

    def check_photos(self, count: int, total_bytes: int) -> None:
        """Raise OverQuota if so many pictures, or bytes of pictures, exceed the quota."""
        if self.photos and count > self.photos:
            raise OverQuota("too_many_photos", self.photos)
        if self.photo_bytes and total_bytes > self.photo_bytes:
            raise OverQuota("too_many_photo_bytes", self.photo_bytes)

    def check_records(self, count: int) -> None:
        """Raise OverQuota if so many records exceed the quota."""
        if self.records and count > self.records:
            raise OverQuota("too_many_records", self.records)


def count_records(connection: Connection, owner_id: int) -> int:
    """Count an owner's records, including deleted ones."""
    query = select(func.count()).select_from(record).where(record.c.owner_id == owner_id)
    return int(connection.execute(query).scalar_one())


def count_photos(connection: Connection, owner_id: int, exclude: list[str]) -> tuple[int, int]:
    """Return (number of pictures, their bytes) of an owner, without those of `exclude`."""
    columns = photo_bytes.c
    others = columns.owner_id == owner_id
    if len(exclude) <= _MAX_SQL_IDS:
        total = func.coalesce(func.sum(columns.bytes), 0)
        query = select(func.count(), total).where(others, columns.id.not_in(exclude))
        count, size = connection.execute(query).one()
        return int(count), int(size)
    excluded = set(exclude)
    rows = connection.execute(select(columns.id, columns.bytes).where(others))
    sizes = [row.bytes for row in rows if row.id not in excluded]
    return len(sizes), sum(sizes)
