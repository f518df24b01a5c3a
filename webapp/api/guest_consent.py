"""A guest's consent to be remembered as a person in the leader's notebook."""

from __future__ import annotations

from typing import Any

from flask import Blueprint
from marshmallow import RAISE, Schema, fields, validate

from webapp.api.http.body import json_body, load
from webapp.api.http.common import MAX_JOIN_BYTES, current_ms
from webapp.api.http.operation import operation
from webapp.db.engine import write_transaction
from webapp.group_tasting.access import current_guest, delete_former_person, for_guests
from webapp.group_tasting.consent import put_consent

blueprint = Blueprint("guest_consent", __name__)


class ConsentSchema(Schema):
    """Whether the guest agrees, and since when (ms since 1970, by the server's clock)."""

    class Meta:
        unknown = RAISE

    agreed = fields.Boolean(required=True, truthy={True}, falsy={False})
    noted_ms = fields.Integer(required=True, strict=True, validate=validate.Range(0, 10**13 - 1))


class DecidedSchema(Schema):
    """The decision was stored, or a later one was before."""

    done = fields.Boolean(required=True)
    now_ms = fields.Integer(required=True)


@blueprint.put("/api/guests/consent")
@for_guests
@operation(
    "Agree to be remembered as a person, or withdraw that; repeated, it changes nothing",
    body=ConsentSchema,
    answers={200: DecidedSchema},
    problems=(400, 413, 415, 401, 421, 503),
)
def consent() -> dict[str, Any]:
    payload, guest = load(ConsentSchema(), json_body(MAX_JOIN_BYTES)), current_guest()
    agreed, now_ms = payload["agreed"], current_ms()
    with write_transaction() as connection:
        person = put_consent(connection, guest, payload["noted_ms"], now_ms, agreed=agreed)
        delete_former_person(connection, person, now_ms)
    return dict(DecidedSchema().dump({"done": True, "now_ms": now_ms}))
