"""Shared by several resources: limits of bodies, times, and the response to a sign-in."""

from __future__ import annotations

import time
from datetime import UTC, datetime
from typing import Any

from flask import Response, jsonify
from marshmallow import Schema, fields, validate

from webapp.auth import sessions
from webapp.auth.authenticate import current_sign_in, owner_json, set_session_cookie
from webapp.auth.owners import set_current_owner
from webapp.db.engine import read_transaction, write_transaction

MAX_BODY_BYTES = 16_384
# An invitation with a guest's name of 60 characters.
MAX_JOIN_BYTES = 2_000
# All answers for a glass, with every list of own words filled; a phone sends a few fields a time.
MAX_ANSWERS_BYTES = 100_000
ID_PATTERN = "^[0-9a-f]{32}$"


def text_field(max_length: int, **options: Any) -> fields.String:
    """Return a text field of a request, of limited length."""
    options.setdefault("required", True)
    return fields.String(validate=validate.Length(max=max_length, error="too_long"), **options)


class OwnerSchema(Schema):
    """The owner; phones identify it by `uid`."""

    uid = fields.String(required=True)
    name = fields.String(required=True)


class MeSchema(Schema):
    """The owner of this device. `device` is null on the machine itself, without sign-in."""

    owner = fields.Nested(OwnerSchema, required=True)
    device = fields.String(required=True, allow_none=True)


class DoneSchema(Schema):
    """The operation succeeded; `done` is true."""

    done = fields.Boolean(required=True)


def now_s() -> int:
    """Return the current time in whole seconds of the epoch."""
    return int(time.time())


def current_ms() -> int:
    """Return the current time in milliseconds of the epoch."""
    return time.time_ns() // 1_000_000


def current_sign_in_id() -> str | None:
    """Return the id of this request's sign-in, None if it came without one."""
    row = current_sign_in()
    return str(row.id) if row else None


def iso_time(at_s: int) -> str:
    """Format seconds of the epoch as an RFC 3339 timestamp."""
    return datetime.fromtimestamp(at_s, UTC).isoformat()


def me_json(owner_id: int, device: str | None) -> dict[str, Any]:
    """Return the body of `me` and of every sign-in response."""
    return dict(MeSchema().dump({"owner": owner_json(owner_id), "device": device}))


def end_current_session() -> None:
    """End the sign-in that this request came with, if it came with one."""
    row = current_sign_in()
    if row is not None:
        with write_transaction() as connection:
            sessions.end(connection, row.owner_id, row.id, "signed_out", now_s())


def sign_in_response(owner_id: int, token: str) -> Response:
    """Return the response to a device that has just signed in: its cookie and its owner."""
    set_current_owner(owner_id)
    with read_transaction() as connection:
        row = sessions.find(connection, token)
    return set_session_cookie(jsonify(me_json(owner_id, row.id if row else None)), token)
