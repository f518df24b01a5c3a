"""One sync: applies the phone's changes and returns a page of changes, in one transaction.

Sequence numbers are assigned while the owner's row is locked and become visible with their rows, so
no row can commit later with a number below a cursor already returned. Records of this request whose
merged state the phone already has are not returned.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Row, select

from webapp.db.tables import safe as safe_table
from webapp.records.record import Record
from webapp.records.repository import Key, advance_notebook, notebook_row
from webapp.records.validate import is_id
from webapp.sync.apply import apply_changes
from webapp.sync.changes_page import Page, fetch_page
from webapp.sync.hlc import clock_ms, is_too_far_ahead
from webapp.sync.limits import Capacity, capacity_of
from webapp.sync.parse import InvalidRecord, latest_clock, parse_record
from webapp.sync.session import open_session

FORMAT = 1
MAX_CHANGES = 500
MAX_PAGE_LENGTH = 1_000

Outcome = dict[str, Any]


@dataclass(frozen=True, slots=True)
class SyncRequest:
    """The request of a phone; the envelope is validated, the changes are not."""

    device: str
    epoch: str | None
    token: str | None
    cursor: int
    limit: int
    changes: list[Any]


@dataclass(frozen=True, slots=True)
class SyncResponse:
    """The response to a phone; `text()` is its JSON."""

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
class _Incoming:
    """One change of the request: its outcome so far, and the record if it is valid."""

    outcome: Outcome
    record: Record | None


Transaction = Callable[[], AbstractContextManager[Connection]]


def handle_sync(
    transaction: Transaction, owner_id: int, request: SyncRequest, now_ms: int, max_records: int = 0
) -> SyncResponse:
    """Run one sync for an owner, in one transaction that `transaction` opens.

    An owner may have at most `max_records` records; 0: no limit.
    """
    incoming = [_parse_incoming(change) for change in request.changes]
    with transaction() as connection:
        owner = notebook_row(connection, owner_id, lock=bool(incoming))
        epoch = str(connection.scalar(select(safe_table.c.epoch)))
        session = open_session(connection, owner_id, request.device, request.token)
        rewound = (
            session.rewound or request.cursor > owner.seq or _is_foreign_cursor(request, epoch)
        )
        cursor = 0 if rewound else request.cursor
        capacity = capacity_of(connection, owner, len(incoming), max_records)
        seq, confirmed = _apply(connection, owner, cursor, incoming, now_ms, capacity)
        if cursor == owner.seq and not rewound:
            # The phone was up to date; the only newer changes are its own.
            page = Page([], seq, 0)
        else:
            exclude = set() if rewound else confirmed
            page = fetch_page(connection, owner_id, cursor, request.limit, exclude)
    outcomes = [one.outcome for one in incoming]
    return SyncResponse(epoch, session.token, now_ms, rewound, session.fork, outcomes, page)


def _is_foreign_cursor(request: SyncRequest, epoch: str) -> bool:
    """Tell whether the phone's cursor comes from another, or an unknown, database."""
    if request.epoch is None:
        return request.cursor > 0
    return request.epoch != epoch


def _parse_incoming(change: Any) -> _Incoming:
    id_ = change.get("id") if isinstance(change, dict) else None
    outcome: Outcome = {"id": id_ if is_id(id_) else None, "outcome": "refused"}
    try:
        return _Incoming(outcome, parse_record(change))
    except InvalidRecord as error:
        outcome["errors"] = error.errors
        return _Incoming(outcome, None)


def _apply(
    connection: Connection,
    owner: Row[Any],
    cursor: int,
    incoming: list[_Incoming],
    now_ms: int,
    capacity: Capacity,
) -> tuple[int, set[Key]]:
    """Apply the valid changes and set each one's outcome.

    Returns the owner's last sequence number and `ApplyResult.confirmed`.
    """
    latest_ms = owner.max_clock_ms
    accepted: list[_Incoming] = []
    for one in incoming:
        if one.record is None:
            continue
        clock = latest_clock(one.record)
        if clock is not None and is_too_far_ahead(clock, now_ms, owner.max_clock_ms):
            one.outcome["outcome"] = "restamp"
            continue
        accepted.append(one)
        latest_ms = max(latest_ms, clock_ms(clock) if clock else 0)
    records = [one.record for one in accepted if one.record is not None]
    result = apply_changes(connection, owner.id, owner.seq, cursor, records, capacity)
    for place, (one, new) in enumerate(zip(accepted, result.is_new, strict=True)):
        if place in result.rejected:
            one.outcome["errors"] = {"record": [result.rejected[place]]}
        else:
            one.outcome["outcome"] = "applied" if new else "duplicate"
    if result.seq > owner.seq:
        advance_notebook(connection, owner.id, result.seq, latest_ms)
    return result.seq, result.confirmed
