"""Erasing an owner: which rows and files are deleted, and which marks remain."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest
from sqlalchemy import Connection, insert, update

from tests.auth.conftest import KEY
from tests.memory_database import rows_of
from webapp.auth import erasure, sessions
from webapp.auth.errors import ERASED, AccessError
from webapp.auth.sessions import Browser, token_hash
from webapp.db.tables import daily_seq, erased, owner, sign_in
from webapp.photos.folder import FolderFiles

NOW_S = 1_790_000_400
DAY_S = 24 * 3600
UID_USED = f"used/{hashlib.sha256(b'uid 1').hexdigest()}"


def signed_in(connection: Connection, owner_id: int) -> str:
    return sessions.start(connection, owner_id, Browser("", "192.0.2.1", KEY), NOW_S)


def marks(connection: Connection) -> list[str]:
    return [key for (key,) in rows_of(connection, erased, "key")]


def test_rows_and_photos_of_one_owner_are_deleted(connection: Connection, tmp_path: Path) -> None:
    for owner_id in (1, 2):
        signed_in(connection, owner_id)
        (tmp_path / str(owner_id) / "ab").mkdir(parents=True)
    days = [{"owner_id": owner_id, "day": 1, "seq": 1, "at_s": 0} for owner_id in (1, 2)]
    connection.execute(insert(daily_seq), days)
    erasure.erase_owner(connection, FolderFiles(tmp_path).delete_owner, 1, NOW_S)
    assert rows_of(connection, owner, "id") == [(2,)]
    assert rows_of(connection, sign_in, "owner_id") == [(2,)]
    assert rows_of(connection, daily_seq, "owner_id") == [(2,)]
    assert [folder.name for folder in tmp_path.iterdir()] == ["2"]


def test_erased_owner_leaves_marks_of_id_and_tokens(connection: Connection, tmp_path: Path) -> None:
    connection.execute(update(owner).values(passphrase="a hash"))
    tokens = [signed_in(connection, owner_id) for owner_id in (1, 1, 2)]
    erasure.erase_owner(connection, FolderFiles(tmp_path).delete_owner, 1, NOW_S)
    assert rows_of(connection, erased, "key", "at_s") == sorted(
        (key, NOW_S)
        for key in ("owner/1", UID_USED, *(f"token/{token_hash(one)}" for one in tokens[:2]))
    )
    items = [erasure.is_token_erased(connection, token) for token in (*tokens, "another")]
    assert items == ["erased", "erased", None, None]
    assert not erasure.is_owner_erased(connection, "uid 1")


def test_owner_without_a_passphrase_leaves_the_uid(connection: Connection, tmp_path: Path) -> None:
    erasure.erase_owner(connection, FolderFiles(tmp_path).delete_owner, 1, NOW_S)
    assert marks(connection) == ["owner/1", "uid/uid 1", UID_USED]
    assert erasure.is_owner_erased(connection, "uid 1")
    assert not erasure.is_owner_erased(connection, "uid 2")


def test_owner_is_erased_once(connection: Connection, tmp_path: Path) -> None:
    erasure.erase_owner(connection, FolderFiles(tmp_path).delete_owner, 1, NOW_S)
    with pytest.raises(AccessError) as refused:
        erasure.erase_owner(connection, FolderFiles(tmp_path).delete_owner, 1, NOW_S)
    assert (refused.value.code, refused.value.detail) == ("erased", ERASED)


def test_token_marks_are_kept_as_long_as_a_sign_in(connection: Connection, tmp_path: Path) -> None:
    oldest_s = NOW_S - 180 * DAY_S
    kept = [("token/a", oldest_s), ("used/a", oldest_s), ("owner/7", 0), ("uid/token/", 0)]
    old = [("token/b", oldest_s - 1), ("used/b", oldest_s - 1)]
    connection.execute(
        insert(erased),
        [{"key": key, "at_s": at_s} for key, at_s in [*kept, *old]],
    )
    erasure.erase_owner(connection, FolderFiles(tmp_path).delete_owner, 1, NOW_S)
    left = [*(key for key, _ in kept), "owner/1", "uid/uid 1", UID_USED]
    assert marks(connection) == sorted(left)


def test_highest_erased_id_is_found(connection: Connection) -> None:
    assert erasure.highest_id(connection) == 0
    keys = ("owner/7", "owner/12", "uid/owner/", "token/99")
    connection.execute(insert(erased), [{"key": key, "at_s": 0} for key in keys])
    assert erasure.highest_id(connection) == 12
