"""Quotas exactly at their bounds, and what is counted for an owner."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from sqlalchemy import Connection, insert

from tests.records.test_repository import made, write
from webapp.db.tables import photo_bytes
from webapp.records.quota import OverQuota, Quota, count_photos, count_records

QUOTA = Quota(records=3, photos=5, photo_bytes=7)


def add_photos(connection: Connection, owner_id: int, sizes: dict[str, int]) -> None:
    plain = {"sha256": "", "media_type": "", "width_px": 1, "height_px": 1, "kept_at": ""}
    rows = [{"owner_id": owner_id, "id": id_, "bytes": size} for id_, size in sizes.items()]
    connection.execute(insert(photo_bytes), [{**plain, **row} for row in rows])


def test_quotas_come_from_the_configuration() -> None:
    given = {"MAX_RECORDS": 3, "MAX_PHOTOS": 5, "MAX_PHOTO_STORE_BYTES": 7}
    assert Quota.of(given) == QUOTA


@pytest.mark.parametrize(
    ("check", "code", "bound"),
    [
        (lambda quota: quota.check_records(4), "too_many_records", 3),
        (lambda quota: quota.check_photos(6, 7), "too_many_photos", 5),
        (lambda quota: quota.check_photos(5, 8), "too_many_photo_bytes", 7),
        (lambda quota: quota.check_photos(6, 8), "too_many_photos", 5),
    ],
)
def test_quota_is_exceeded_by_one(check: Callable[[Quota], None], code: str, bound: int) -> None:
    with pytest.raises(OverQuota, match=f"^{code}: {bound} at most$") as over:
        check(QUOTA)
    assert (over.value.code, over.value.bound) == (code, bound)
    check(Quota(0, 0, 0))


def test_quota_can_be_used_up() -> None:
    QUOTA.check_records(3)
    QUOTA.check_photos(5, 7)


def test_records_of_an_owner_are_counted_with_deleted(connection: Connection) -> None:
    write(connection, 1, made("a", 1), made("b", 2, deleted=True), made("a", 3, "visit"))
    write(connection, 2, made("a", 1))
    assert [count_records(connection, owner_id) for owner_id in (1, 2, 3)] == [3, 1, 0]


@pytest.mark.parametrize("more", [0, 497, 498, 600])
def test_photos_are_counted_without_the_excluded(connection: Connection, more: int) -> None:
    add_photos(connection, 1, {"a": 3, "b": 4, "c": 5, "d": 6})
    add_photos(connection, 2, {"a": 7})
    exclude = ["a", "b", "another", *(f"{place}" for place in range(more))]
    assert count_photos(connection, 1, exclude) == (2, 11)
    assert count_photos(connection, 2, exclude) == (0, 0)
    assert count_photos(connection, 2, []) == (1, 7)
    assert count_photos(connection, 3, []) == (0, 0)
