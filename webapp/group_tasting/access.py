"""Lets guests in: their routes need a bearer token, which opens nothing else.

The views are public to `webapp.auth`; an owner's cookie beside the token is ignored. Requests are
counted by guest, because a whole room may share one address; those without a valid token are
counted by address.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from contextlib import suppress
from typing import Any, TypeVar

from flask import Flask, current_app, g, request
from sqlalchemy import Connection, Row

from webapp.auth.counters import client_key
from webapp.auth.errors import AccessError
from webapp.auth.owners import set_current_owner
from webapp.auth.rate_limit import RateLimiter
from webapp.auth.request_checks import uncounted
from webapp.db.engine import (
    BUSY_ERRORS,
    end_restriction,
    read_transaction,
    write_transaction,
)
from webapp.group_tasting import guests, silence
from webapp.group_tasting.consent import delete_person

_GUESTS = "__for_guests__"
View = TypeVar("View", bound=Callable[..., Any])


def for_guests(view: View) -> View:
    """Mark a view that needs a guest's token, and no owner."""
    setattr(view, _GUESTS, True)
    return uncounted(view)


def is_for_guests(view: Callable[..., Any] | None) -> bool:
    """Tell whether a view is marked as needing a guest's token."""
    return bool(getattr(view, _GUESTS, False))


def register_guest_check(app: Flask) -> None:
    """Check the token of every request to a view for guests, before its body is read."""
    app.before_request(_check_guest)


def _check_guest() -> None:
    if not is_for_guests(current_app.view_functions.get(request.endpoint or "")):
        return
    now_s = int(time.time())
    limiter: RateLimiter = current_app.extensions["rate_limiter"]
    scheme, _, token = request.headers.get("Authorization", "").partition(" ")
    try:
        if scheme.lower() != "bearer" or not token:
            raise guests.guest_ended("unknown")
        with read_transaction() as connection:
            row = guests.find(connection, token.strip(), now_s)
    except AccessError:
        limiter.consume(f"from/{client_key(request.remote_addr or '')}", now_s)
        raise
    # The log has no id of a record.
    limiter.consume(f"guest/{row.owner_id}/{row.guest}", now_s, f"guest/{row.owner_id}")
    if silence.is_due(row, now_s):
        # Noted with the next request if another transaction is writing, because none waits for it.
        with suppress(*BUSY_ERRORS), write_transaction(waits=False) as connection:
            silence.note_seen(connection, row, now_s)
    g.guest = row
    restrict(row.owner_id, row.group_tasting)


def current_guest() -> Row[Any]:
    """Return the row of the guest who makes this request."""
    found: Row[Any] = g.guest
    return found


def restrict(owner_id: int, table: str) -> None:
    """Let the rest of this request see the records of one table only, by row-level security."""
    g.group_tasting = table
    set_current_owner(owner_id)


def delete_former_person(connection: Connection, person: str | None, now_ms: int) -> None:
    """Delete the person that this request's guest was; None for no person.

    The transaction is that which made the guest no person, since a repeated request finds nothing
    to do. People belong to no table, so the restriction ends first: a guest's transaction does not
    see them.
    """
    if person is not None:
        end_restriction(connection)
        delete_person(connection, current_guest().owner_id, person, now_ms)
