"""One sync: changes up, a page of changes down, in one transaction.

Numbers are given out while the owner's row is locked and become visible with their rows, so a
cursor that has been handed out never hides a row that commits later. Records that this very
request brought, of which the phone holds the same state, are not sent back to it.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Row, select, update

from webapp.db.tables import owner as owner_table
from webapp.db.tables import safe as safe_table
from webapp.records.quota import count_records
from webapp.records.record import Record
from webapp.records.repository import Key
from webapp.records.validate import is_id
from webapp.sync.apply import take_in
from webapp.sync.changes_page import Page, read_page
from webapp.sync.hlc import clock_ms
from webapp.sync.limits import Room
from webapp.sync.parse import ShapeError, latest_clock, read_record
from webapp.sync.session import open_session

FORMAT = 1
MOST_CHANGES = 500
LONGEST_PAGE = 1_000
AHEAD_MS = 5 * 60 * 1000

Outcome = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Request:
    """What a phone sends, its envelope checked and its changes not yet."""

    device: str
    epoch: str | None
    token: str | None
    cursor: int
    limit: int
    changes: list[Any]


@dataclass(frozen=True, slots=True)
class Answer:
    """What the phone hears; `text()` is its JSON."""

    epoch: str
    token: str
    now_ms: int
    rewound: bool
    fork: bool
    outcomes: list[Outcome]
    page: Page

    def text(self) -> str:
        head = {
            "format": FORMAT,
            "epoch": self.epoch,
            "token": self.token,
            "cursor": self.page.cursor,
            "more": self.page.remaining > 0,
            "remaining": self.page.remaining,
            "now": self.now_ms,
            "rewound": self.rewound,
            "fork": self.fork,
            "outcomes": self.outcomes,
        }
        return json.dumps(head)[:-1] + ',"changes":[' + ",".join(self.page.changes) + "]}"


@dataclass(slots=True)
class _Offer:
    """One change as it came: its outcome so far and, while it may be taken, the record."""

    outcome: Outcome
    record: Record | None


Writing = Callable[[], AbstractContextManager[Connection]]


def exchange(
    writing: Writing, owner_id: int, request: Request, now_ms: int, most_records: int = 0
) -> Answer:
    """Run one sync for an owner. `writing` opens the transaction; the rest is decided here.

    A book has `most_records` records at most; 0 sets no bound.
    """
    offers = [_read_offer(change) for change in request.changes]
    with writing() as connection:
        owner = _owner_row(connection, owner_id, lock=bool(offers))
        epoch = str(connection.scalar(select(safe_table.c.epoch)))
        session = open_session(connection, owner_id, request.device, request.token)
        rewound = session.rewound or request.cursor > owner.seq or _elsewhere(request, epoch)
        cursor = 0 if rewound else request.cursor
        room = _room(connection, owner, len(offers), most_records)
        seq, seen = _take(connection, owner, cursor, offers, now_ms, room)
        if cursor == owner.seq and not rewound:
            # The phone was up to date; the only newer changes are its own.
            page = Page([], seq, 0)
        else:
            known = set() if rewound else seen
            page = read_page(connection, owner_id, cursor, request.limit, known)
    outcomes = [offer.outcome for offer in offers]
    return Answer(epoch, session.token, now_ms, rewound, session.fork, outcomes, page)


def _elsewhere(request: Request, epoch: str) -> bool:
    """The phone's cursor was counted by another database (or by none that it can name)."""
    if request.epoch is None:
        return request.cursor > 0
    return request.epoch != epoch


def _owner_row(connection: Connection, owner_id: int, *, lock: bool) -> Row[Any]:
    query = select(owner_table).where(owner_table.c.id == owner_id)
    return connection.execute(query.with_for_update() if lock else query).one()


def _read_offer(change: Any) -> _Offer:
    id_ = change.get("id") if isinstance(change, dict) else None
    outcome: Outcome = {"id": id_ if is_id(id_) else None, "outcome": "refused"}
    try:
        return _Offer(outcome, read_record(change))
    except ShapeError as error:
        outcome["errors"] = error.errors
        return _Offer(outcome, None)


def _room(connection: Connection, owner: Row[Any], offered: int, most_records: int) -> Room:
    # Every record has taken a number, so that most books need not be counted.
    if not most_records or owner.seq + offered <= most_records:
        return Room()
    return Room(most_records - count_records(connection, owner.id), most_records)


def _take(
    connection: Connection,
    owner: Row[Any],
    cursor: int,
    offers: list[_Offer],
    now_ms: int,
    room: Room,
) -> tuple[int, set[Key]]:
    """Take in what may be taken and write each offer's outcome.

    Gives the last number now, and the records of which the phone holds the state (see Intake).
    """
    latest_ms = owner.max_clock_ms
    bound_ms = max(now_ms, owner.max_clock_ms) + AHEAD_MS
    taken: list[_Offer] = []
    for offer in offers:
        if offer.record is None:
            continue
        clock = latest_clock(offer.record)
        if clock is not None and clock_ms(clock) > bound_ms:
            offer.outcome["outcome"] = "restamp"
            continue
        taken.append(offer)
        latest_ms = max(latest_ms, clock_ms(clock) if clock else 0)
    records = [offer.record for offer in taken if offer.record is not None]
    intake = take_in(connection, owner.id, owner.seq, cursor, records, room)
    for place, (offer, new) in enumerate(zip(taken, intake.taken, strict=True)):
        if place in intake.refused:
            offer.outcome["errors"] = {"record": [intake.refused[place]]}
        else:
            offer.outcome["outcome"] = "applied" if new else "duplicate"
    if intake.seq > owner.seq or latest_ms > owner.max_clock_ms:
        connection.execute(
            update(owner_table)
            .where(owner_table.c.id == owner.id)
            .values(seq=intake.seq, max_clock_ms=latest_ms)
        )
    return intake.seq, intake.seen
