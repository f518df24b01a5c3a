"""How much one owner may keep: records, pictures, and the bytes of those."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, func, select

from webapp.db.tables import photo_bytes, record

_MOST_IN_SQL = 500


class OverQuota(Exception):
    """`code` is too_many_records, too_many_photos or too_many_photo_bytes."""

    def __init__(self, code: str, bound: int) -> None:
        super().__init__(f"{code}: {bound} at most")
        self.code = code
        self.bound = bound


@dataclass(frozen=True, slots=True)
class Quota:
    """The bounds of every owner of a server; 0 sets none."""

    records: int
    photos: int
    photo_bytes: int

    @classmethod
    def of(cls, config: Mapping[str, Any]) -> Quota:
        """The quota that an app is configured with."""
        return cls(config["MAX_RECORDS"], config["MAX_PHOTOS"], config["MAX_PHOTO_STORE_BYTES"])

    def check_photos(self, count: int, total_bytes: int) -> None:
        """Raises OverQuota where an owner would have so many pictures of so many bytes."""
        if self.photos and count > self.photos:
            raise OverQuota("too_many_photos", self.photos)
        if self.photo_bytes and total_bytes > self.photo_bytes:
            raise OverQuota("too_many_photo_bytes", self.photo_bytes)

    def check_records(self, count: int) -> None:
        """Raises OverQuota where an owner would have so many records."""
        if self.records and count > self.records:
            raise OverQuota("too_many_records", self.records)


def count_records(connection: Connection, owner_id: int) -> int:
    """How many records an owner has; deleted ones are kept and count."""
    query = select(func.count()).select_from(record).where(record.c.owner_id == owner_id)
    return connection.scalar(query) or 0


def count_photos(connection: Connection, owner_id: int, but: list[str]) -> tuple[int, int]:
    """(pictures, their bytes) that an owner has under other ids than these."""
    columns = photo_bytes.c
    others = columns.owner_id == owner_id
    if len(but) <= _MOST_IN_SQL:
        total = func.coalesce(func.sum(columns.bytes), 0)
        query = select(func.count(), total).where(others, columns.id.not_in(but))
        count, size = connection.execute(query).one()
        return int(count), int(size)
    left_out = set(but)
    rows = connection.execute(select(columns.id, columns.bytes).where(others))
    sizes = [row.bytes for row in rows if row.id not in left_out]
    return len(sizes), sum(sizes)
