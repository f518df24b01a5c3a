"""Shares learned palates between the server's processes, so that each is learned once.

A process that finds no document for an ETag claims it for `CLAIM_S` and learns it outside of any
transaction; others wait for its document. A claim whose process ended expires.
"""

from __future__ import annotations

import zlib
from collections.abc import Collection
from dataclasses import dataclass
from typing import Any

from sqlalchemy import ColumnElement, Connection, Row, delete, select, update

from webapp.db.engine import insert_missing
from webapp.db.tables import palate_document as table

CLAIM_S = 20


@dataclass(frozen=True, slots=True)
class Key:
    """One palate with the state of its inputs; person is empty for the owner's."""

    owner_id: int
    person: str
    etag: str


def find_document(connection: Connection, key: Key) -> str | None:
    """Return the document, or None if it is not learned yet."""
    row = connection.execute(select(table).where(*_mine(key))).one_or_none()
    return _text(row, key)


def claim(connection: Connection, key: Key, now_s: int) -> bool:
    """Claim the document; False if it is there, or if another process has claimed it."""
    new = {"owner_id": key.owner_id, "person": key.person, "etag": "", "until_s": 0}
    insert_missing(connection, table, [new])
    row = connection.execute(select(table).where(*_mine(key)).with_for_update()).one()
    if row.etag == key.etag and (row.packed is not None or row.until_s > now_s):
        return False
    values = {"etag": key.etag, "until_s": now_s + CLAIM_S, "packed": None}
    connection.execute(update(table).where(*_mine(key)).values(values))
    return True


def store_document(connection: Connection, key: Key, text: str | None) -> None:
    """Store the document unless a newer one was claimed since; None gives the claim up."""
    packed = None if text is None else zlib.compress(text.encode())
    change = update(table).where(*_mine(key), table.c.etag == key.etag)
    connection.execute(change.values(packed=packed, until_s=0))


def keep_only(connection: Connection, owner_id: int, people: Collection[str]) -> None:
    """Delete the documents of all people but these."""
    others = table.c.person.not_in(["", *people])
    connection.execute(delete(table).where(table.c.owner_id == owner_id, others))


def _mine(key: Key) -> tuple[ColumnElement[bool], ...]:
    return (table.c.owner_id == key.owner_id, table.c.person == key.person)


def _text(row: Row[Any] | None, key: Key) -> str | None:
    if row is None or row.etag != key.etag or row.packed is None:
        return None
    return zlib.decompress(row.packed).decode()
