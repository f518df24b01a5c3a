"""Bounds the revisions of one record; beyond the bounds the oldest are deleted.

The quota bounds the number of records, but one record could otherwise fill the disk with values
that lost the merge, because nobody sees them.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from sqlalchemy import Connection, delete, func, select

from webapp.db.tables import revision
from webapp.records.repository import Key

# As if each of forty fields of a tasting had been written fifty times.
MAX_REVISIONS = 2_000
MAX_REVISION_CHARACTERS = 2_000_000
# So many values of the greatest length are within both bounds.
_WITHIN_BOUNDS = 95


def limit_revisions(
    connection: Connection, owner_id: int, known: Iterable[tuple[str, ...]]
) -> None:
    """Delete the oldest revisions of the records that have too many.

    `known`: the keys (`revision_key`) of all revisions of the records that got some.
    """
    counts = Counter((kind, id_) for kind, id_, *_ in known)
    for key, count in counts.items():
        if count > _WITHIN_BOUNDS:
            _limit_one(connection, owner_id, key)


def _limit_one(connection: Connection, owner_id: int, key: Key) -> None:
    columns, (kind, id_) = revision.c, key
    mine = (columns.owner_id == owner_id, columns.kind == kind, columns.record_id == id_)
    query = select(columns.clock, func.length(columns.value)).where(*mine)
    total = 0
    for place, (clock, length) in enumerate(
        connection.execute(query.order_by(columns.clock.desc()))
    ):
        total += length
        if place >= MAX_REVISIONS or total > MAX_REVISION_CHARACTERS:
            connection.execute(delete(revision).where(*mine, columns.clock <= clock))
            return
