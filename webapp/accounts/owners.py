"""Whose book a request is about. Every query of the API takes its owner from `current_owner()`."""

from __future__ import annotations

from flask import g
from sqlalchemy import select

from webapp.accounts.errors import AccessError
from webapp.db import reading
from webapp.db.tables import owner


def current_owner() -> int:
    """The id of the owner whom this request may read and write.

    The server answers on this machine only (see `webapp.cli`), where there is one owner and no
    password: the first one.
    """
    if "owner_id" not in g:
        g.owner_id = _first_owner()
    found: int = g.owner_id
    return found


def _first_owner() -> int:
    with reading() as connection:
        found = connection.scalar(select(owner.c.id).order_by(owner.c.id).limit(1))
    if found is None:
        raise AccessError("no_owner", "The book has no owner yet; run 'secondnose db upgrade'.")
    return int(found)


def owners() -> list[tuple[int, str, int]]:
    """(id, name, last sequence number) of every owner."""
    with reading() as connection:
        rows = connection.execute(
            select(owner.c.id, owner.c.name, owner.c.seq).order_by(owner.c.id)
        )
        return [(row.id, row.name, row.seq) for row in rows]
