"""A page of the change log as JSON text, put together from the stored text without reading it."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import Connection, func, select

from webapp.db.tables import record as record_table
from webapp.records.repository import Key

# A page of 1,000 long notes must stay small enough for a phone to hold and parse at once.
MAX_CHARACTERS = 4_000_000
ROWS_AT_ONCE = 50


@dataclass(frozen=True, slots=True)
class Page:
    """`changes` are JSON texts of records; everything up to `cursor` has been looked at."""

    changes: list[str]
    cursor: int
    remaining: int


def fetch_page(
    connection: Connection, owner_id: int, cursor: int, limit: int, exclude: set[Key]
) -> Page:
    """At most `limit` records after `cursor`, but for those that the phone is `exclude` to hold."""
    columns = record_table.c
    query = (
        select(
            columns.kind,
            columns.id,
            columns.fields,
            columns.clocks,
            columns.deleted,
            columns.deleted_clock,
            columns.seq,
        )
        .where(columns.owner_id == owner_id, columns.seq > cursor)
        .order_by(columns.seq)
        .limit(limit + len(exclude) + 1)
    )
    changes: list[str] = []
    characters = 0
    # Rows come a few at a time: those behind the cut may be as large as those before it.
    with connection.execute(query.execution_options(yield_per=ROWS_AT_ONCE)) as rows:
        for kind, id_, fields, clocks, deleted, deleted_clock, seq in rows:
            if (kind, id_) not in exclude:
                if len(changes) == limit or characters > MAX_CHARACTERS:
                    break
                characters += len(fields) + len(clocks)
                gone_at = "null" if deleted_clock is None else f'"{deleted_clock}"'
                changes.append(
                    f'{{"kind":"{kind}","id":"{id_}","fields":{fields},"clocks":{clocks},'
                    f'"deleted":{"true" if deleted else "false"},'
                    f'"deleted_clock":{gone_at},"seq":{seq}}}'
                )
            cursor = seq
        else:
            return Page(changes, cursor, 0)
    return Page(changes, cursor, _count(connection, owner_id, cursor))


def _count(connection: Connection, owner_id: int, cursor: int) -> int:
    columns = record_table.c
    after = select(func.count()).where(columns.owner_id == owner_id, columns.seq > cursor)
    return int(connection.execute(after).scalar_one())
