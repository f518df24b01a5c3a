"""Builds a page of changes as JSON text from the stored JSON, without parsing it."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import Connection, func, select

from webapp.db.tables import record as record_table
from webapp.records.repository import Key

# Limits a page of 1,000 long notes to a size that a phone can parse.
MAX_PAGE_CHARACTERS = 4_000_000
FETCHED_ROWS = 50


@dataclass(frozen=True, slots=True)
class Page:
    """`changes` are records as JSON; `cursor` is the last sequence number read."""

    changes: list[str]
    cursor: int
    remaining: int


def fetch_page(
    connection: Connection, owner_id: int, cursor: int, limit: int, exclude: set[Key]
) -> Page:
    """Return at most `limit` records after `cursor`, without those of `exclude`."""
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
    # Fetch a few rows at a time, because rows after the limit may be large as well.
    with connection.execute(query.execution_options(yield_per=FETCHED_ROWS)) as rows:
        for kind, id_, fields, clocks, deleted, deleted_clock, seq in rows:
            if (kind, id_) not in exclude:
                if len(changes) == limit or characters > MAX_PAGE_CHARACTERS:
                    break
                characters += len(fields) + len(clocks)
                deleted_clock_json = "null" if deleted_clock is None else f'"{deleted_clock}"'
                changes.append(
                    f'{{"kind":"{kind}","id":"{id_}","fields":{fields},"clocks":{clocks},'
                    f'"deleted":{"true" if deleted else "false"},'
                    f'"deleted_clock":{deleted_clock_json},"seq":{seq}}}'
                )
            cursor = seq
        else:
            return Page(changes, cursor, 0)
    return Page(changes, cursor, _count(connection, owner_id, cursor))


def _count(connection: Connection, owner_id: int, cursor: int) -> int:
    columns = record_table.c
    after = select(func.count()).where(columns.owner_id == owner_id, columns.seq > cursor)
    return int(connection.execute(after).scalar_one())
