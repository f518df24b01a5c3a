"""Guests of a led tasting: look at an invitation, join, read the table, answer, leave.

`look` and `join` are for anybody with the secret or the code; the other routes need the guest's own
token, see `webapp.group_tasting.access`.
"""

from __future__ import annotations

from typing import Any

from flask import Blueprint, Response, current_app, request
from marshmallow import RAISE, Schema, fields, validate

from webapp.api.http.body import json_body, load
from webapp.api.http.common import (
    MAX_ANSWERS_BYTES,
    MAX_JOIN_BYTES,
    DoneSchema,
    current_ms,
    now_s,
    text_field,
)
from webapp.api.http.errors import ApiError
from webapp.api.http.operation import operation
from webapp.auth.names import normalize_name
from webapp.auth.request_checks import public
from webapp.auth.throttle import count_attempt
from webapp.db.engine import read_transaction, write_transaction
from webapp.group_tasting import guests, invitations, join_limits, leaving
from webapp.group_tasting.access import current_guest, delete_former_person, for_guests, restrict
from webapp.group_tasting.invitations import Invited
from webapp.group_tasting.store import TableCache, load_table, no_such_table
from webapp.group_tasting.view import guest_json, guest_view, invitation_view
from webapp.records.repository import to_json
from webapp.records.schemas import UUID_PATTERN

blueprint = Blueprint("guests", __name__)
MIN_KEY_LENGTH = 32
MAX_NAME_LENGTH = 60
VIEW_FORMAT = 1
_ANYBODY = (400, 404, 413, 415, 421, 503)
_GUEST = (401, 421, 503)


class GuestInvitationSchema(Schema):
    """The secret of the link, or else the code."""

    class Meta:
        unknown = RAISE

    secret = text_field(100, required=False)
    code = text_field(20, required=False)


class LookSchema(Schema):
    """What is told before a name is given; `keeps_days` null: until the leader deletes it."""

    group_tasting = fields.String(required=True)
    name = fields.String(required=True, allow_none=True)
    leader_name = fields.String(required=True, allow_none=True)
    glasses = fields.Integer(required=True)
    labels_hidden = fields.Boolean(required=True)
    names_shown = fields.Boolean(required=True)
    keeps_days = fields.Integer(required=True, allow_none=True)
    now_ms = fields.Integer(required=True)


class JoinSchema(GuestInvitationSchema):
    """A new guest: a name, and an id and a key that the phone has made."""

    name = text_field(MAX_NAME_LENGTH)
    guest = fields.String(required=True, validate=validate.Regexp(UUID_PATTERN, error="not_id"))
    key = fields.String(
        required=True, validate=validate.Length(MIN_KEY_LENGTH, 100, error="wrong_length")
    )


class GuestSchema(Schema):
    """A guest, as shown to the guest."""

    id = fields.String(required=True)
    name = fields.String(required=True, allow_none=True)
    number = fields.Integer(required=True, allow_none=True)
    agreed_at = fields.String(required=True, allow_none=True)


class JoinedSchema(Schema):
    """The token for the guest's requests, in the header Authorization."""

    token = fields.String(required=True)
    group_tasting = fields.String(required=True)
    guest = fields.Nested(GuestSchema, required=True)


class GuestTableSchema(Schema):
    """The table as this guest may see it; what is covered or not laid open is left out."""

    now_ms = fields.Integer(required=True)
    table = fields.Dict(required=True)
    guest = fields.Nested(GuestSchema, required=True)
    glasses = fields.List(fields.Dict(), required=True)
    sheets = fields.Dict(required=True)
    results = fields.Dict()


class AnswersSchema(Schema):
    """Answers for a glass, and when each was noted (ms since 1970, by the server's clock)."""

    class Meta:
        unknown = RAISE

    fields_ = fields.Dict(
        keys=fields.String(validate=validate.Length(max=64)), required=True, data_key="fields"
    )
    noted_ms = fields.Dict(
        keys=fields.String(validate=validate.Length(max=64)),
        values=fields.Integer(strict=True, validate=validate.Range(0, 10**13 - 1)),
        load_default=dict,
    )


class StoredSchema(Schema):
    """Which answers count; `closed`: when the step of an answer closed (ms since 1970)."""

    stored = fields.List(fields.String(), required=True)
    closed = fields.Dict(required=True)
    errors = fields.Dict(required=True)
    now_ms = fields.Integer(required=True)


class LeaveSchema(Schema):
    """Whether the guest's name and answers are deleted."""

    class Meta:
        unknown = RAISE

    forget = fields.Boolean(load_default=False, truthy={True}, falsy={False})


@blueprint.post("/api/guests/look")
@public
@operation(
    "Look at an invitation to a led tasting",
    body=GuestInvitationSchema,
    answers={200: LookSchema},
    problems=_ANYBODY,
)
def look() -> dict[str, Any]:
    invited = _invited(load(GuestInvitationSchema(), json_body(MAX_JOIN_BYTES)))
    restrict(invited.owner_id, invited.group_tasting)
    with read_transaction() as connection:
        table = load_table(connection, invited.owner_id, invited.group_tasting)
    if table.ended_ms is not None:
        raise no_such_table()
    return dict(LookSchema().dump(invitation_view(table, current_ms())))


@blueprint.post("/api/guests/join")
@public
@operation(
    "Join a led tasting as a guest; repeated, it gives the same token",
    body=JoinSchema,
    answers={200: JoinedSchema},
    problems=(401, 409, *_ANYBODY),
)
def join() -> dict[str, Any]:
    payload = load(JoinSchema(), json_body(MAX_JOIN_BYTES))
    invited = _invited(payload)
    name = normalize_name(payload["name"], MAX_NAME_LENGTH)
    if name is None:
        raise ApiError(400, "invalid", "Some fields are invalid.", errors={"name": ["required"]})
    joining = guests.Joining(name, payload["guest"], payload["key"])
    with write_transaction() as connection:
        join_limits.count_join(connection, invited, request.remote_addr or "", now_s())
    restrict(invited.owner_id, invited.group_tasting)
    with write_transaction() as connection:
        token, guest = guests.join(connection, invited, joining, current_ms(), _max_records())
    body = {"token": token, "group_tasting": invited.group_tasting, "guest": guest_json(guest)}
    return dict(JoinedSchema().dump(body))


def _invited(payload: dict[str, Any]) -> Invited:
    """Return the table of an invitation; wrong codes are counted. Raises AccessError."""
    if "secret" in payload:
        with read_transaction() as connection:
            return invitations.find_by_secret(connection, payload["secret"], now_s())
    code = payload.get("code", "")
    throttles = join_limits.code_throttles(request.remote_addr or "")
    with write_transaction() as connection:
        count_attempt(connection, throttles, now_s())
    with write_transaction() as connection:
        invited = invitations.find_by_code(connection, code, now_s())
        if invited is not None:
            join_limits.uncount_code(connection, throttles)
    if invited is None:
        raise no_such_table()
    return invited


@blueprint.get("/api/guests/table")
@for_guests
@operation(
    "The table as the guest may see it",
    answers={200: GuestTableSchema, 304: None},
    problems=_GUEST,
)
def table() -> Response:
    guest, now_ms = current_guest(), current_ms()
    etag = f"{VIEW_FORMAT}.{guest.epoch[:8]}.{guest.version}.{guest.writes}"
    until_ms = _unchanged_until(request.headers.get("If-None-Match", ""), etag)
    if until_ms is not None and (until_ms == 0 or now_ms <= until_ms):
        return _with_etag(Response(status=304), f"{etag}.{until_ms}")
    with read_transaction() as connection:
        loaded = guests.read_view(connection, guest, _cache(), now_ms)
    view = GuestTableSchema().dump(guest_view(loaded, guest.guest, now_ms))
    response = Response(to_json(view), mimetype="application/json")
    return _with_etag(response, f"{etag}.{loaded.closes_ms or 0}")


def _cache() -> TableCache:
    found: TableCache = current_app.extensions.setdefault("tables", TableCache())
    return found


def _unchanged_until(given: str, etag: str) -> int | None:
    """Return until when (ms; 0: no end) a view that the phone has is valid, None if it is not.

    The version alone does not tell that a table has ended more than a day ago.
    """
    for one in given.split(","):
        version, _, until = one.strip().removeprefix("W/").strip('"').rpartition(".")
        if version == etag and until.isascii() and until.isdecimal() and len(until) < 15:
            return int(until)
    return None


def _with_etag(response: Response, etag: str) -> Response:
    response.set_etag(etag)
    # The phone may keep the view, and asks each time whether it is still valid.
    response.headers["Cache-Control"] = "private, no-cache"
    return response


@blueprint.put("/api/guests/sheets/<glass>")
@for_guests
@operation(
    "Store a guest's answers for a glass; repeated, it changes nothing",
    body=AnswersSchema,
    answers={200: StoredSchema},
    problems=(400, 404, 409, 413, 415, *_GUEST),
    parameters={"glass": {"pattern": UUID_PATTERN}},
)
def answer(glass: str) -> dict[str, Any]:
    payload, now_ms = load(AnswersSchema(), json_body(MAX_ANSWERS_BYTES)), current_ms()
    noted = payload["noted_ms"]
    with write_transaction() as connection:
        given = guests.Given(glass, payload["fields_"], noted)
        judged = guests.put_answers(connection, current_guest(), given, now_ms, _max_records())
    body = {
        "stored": sorted(judged.fields),
        "closed": judged.closed,
        "errors": judged.errors,
        "now_ms": now_ms,
    }
    return dict(StoredSchema().dump(body))


@blueprint.post("/api/guests/leave")
@for_guests
@operation(
    "Leave a led tasting",
    body=LeaveSchema,
    answers={200: DoneSchema},
    problems=(400, 413, 415, *_GUEST),
)
def leave() -> dict[str, Any]:
    payload, now_ms = load(LeaveSchema(), json_body(MAX_JOIN_BYTES)), current_ms()
    with write_transaction() as connection:
        person = leaving.leave(connection, current_guest(), now_ms, forget=payload["forget"])
        delete_former_person(connection, person, now_ms)
    return dict(DoneSchema().dump({"done": True}))


def _max_records() -> int:
    return int(current_app.config["MAX_RECORDS"])
