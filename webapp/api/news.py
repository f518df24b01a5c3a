"""Account events that this device has not shown yet: new devices and new passphrases."""

from __future__ import annotations

from typing import Any

from flask import Blueprint
from marshmallow import RAISE, Schema, fields, validate

from webapp.api.http.body import json_body, load
from webapp.api.http.common import MAX_BODY_BYTES, DoneSchema, iso_time
from webapp.api.http.operation import operation
from webapp.auth import account_events
from webapp.auth.authenticate import current_sign_in
from webapp.auth.owners import current_owner
from webapp.db.engine import read_transaction, write_transaction

blueprint = Blueprint("news", __name__)
MAX_EVENT_ID = 2**31 - 1


class EventSchema(Schema):
    """`kind` is device, passphrase or passkey.

    `device` and `standing` belong to the sign-in that was new, or that added the passkey.
    """

    id = fields.Integer(required=True)
    kind = fields.String(required=True)
    name = fields.String(required=True)
    at = fields.String(required=True)
    device = fields.String(required=True, allow_none=True)
    standing = fields.Boolean(required=True)


class NewsSchema(Schema):
    """The events, oldest first."""

    news = fields.List(fields.Nested(EventSchema), required=True)


class SeenSchema(Schema):
    """The last event that the owner has read on this device."""

    class Meta:
        unknown = RAISE

    event = fields.Integer(
        required=True, strict=True, validate=validate.Range(0, MAX_EVENT_ID, error="out_of_range")
    )


@blueprint.get("/api/news")
@operation(
    "Account events that were not read on this device",
    answers={200: NewsSchema},
    problems=(421, 503),
)
def unread() -> dict[str, Any]:
    row = current_sign_in()
    found = []
    if row is not None:
        with read_transaction() as connection:
            found = account_events.unread_events(
                connection, current_owner(), row.id, row.events_seen or 0
            )
    payload = [{**one, "at": iso_time(one["at_s"])} for one in found]
    return dict(NewsSchema().dump({"news": payload}))


@blueprint.post("/api/news/seen")
@operation(
    "Mark the events up to this one as read",
    body=SeenSchema,
    answers={200: DoneSchema},
    problems=(400, 413, 415, 421, 503),
)
def mark_read() -> dict[str, Any]:
    payload = load(SeenSchema(), json_body(MAX_BODY_BYTES))
    row = current_sign_in()
    if row is not None:
        with write_transaction() as connection:
            account_events.mark_read(connection, row.id, payload["event"])
    return dict(DoneSchema().dump({"done": True}))
