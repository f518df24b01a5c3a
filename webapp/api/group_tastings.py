"""The leader's routes of a led tasting: invite, withdraw, guests' phones, sheets as CSV."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, Response, request
from marshmallow import Schema, fields

from webapp.api.http.common import DoneSchema, current_ms, now_s
from webapp.api.http.operation import operation
from webapp.archive.sheets_csv import sheets_csv
from webapp.auth.authenticate import KEY, MIN_KEY_LENGTH
from webapp.auth.owners import current_owner
from webapp.db.engine import read_transaction, write_transaction
from webapp.group_tasting import invitations, leaving, silence
from webapp.group_tasting.store import load_table, no_such_table
from webapp.records.schemas import UUID_PATTERN

blueprint = Blueprint("group_tastings", __name__)
_ID = {"id_": {"pattern": UUID_PATTERN}}
CSV = "text/csv"
_OWN = (404, 421, 503)


class InvitationSchema(Schema):
    """A short code, and the secret with its path in the app; the secret never reaches a log."""

    code = fields.String(required=True)
    secret = fields.String(required=True)
    path = fields.String(required=True)
    keeps_days = fields.Integer(required=True, allow_none=True)


class PhoneSchema(Schema):
    """A guest's phone, and how many seconds ago it last asked, by the server's clock."""

    guest = fields.String(required=True)
    silent_s = fields.Integer(required=True)


class PhonesSchema(Schema):
    """The phones of the guests at a table."""

    phones = fields.List(fields.Nested(PhoneSchema), required=True)


@blueprint.post("/api/group-tastings/<id_>/invitation")
@operation(
    "Invite guests to a led tasting",
    answers={200: InvitationSchema},
    problems=(409, *_OWN),
    parameters=_ID,
)
def invite(id_: str) -> dict[str, Any]:
    given = request.headers.get(KEY, "")
    key = given if len(given) >= MIN_KEY_LENGTH else ""
    with write_transaction() as connection:
        invited = invitations.invite(connection, current_owner(), id_, key, now_s())
    body = {
        "code": invited.code,
        "secret": invited.secret,
        "path": f"/#/guest/{invited.secret}",
        "keeps_days": invited.keeps_days,
    }
    return dict(InvitationSchema().dump(body))


@blueprint.delete("/api/group-tastings/<id_>/invitation")
@operation(
    "Withdraw the invitation; guests who joined stay",
    answers={200: DoneSchema},
    problems=_OWN,
    parameters=_ID,
)
def withdraw(id_: str) -> dict[str, Any]:
    with write_transaction() as connection:
        invitations.withdraw(connection, current_owner(), id_)
    return dict(DoneSchema().dump({"done": True}))


@blueprint.delete("/api/group-tastings/<id_>/guests/<guest>")
@operation(
    "Remove a guest of a led tasting",
    answers={200: DoneSchema},
    problems=_OWN,
    parameters={**_ID, "guest": {"pattern": UUID_PATTERN}},
)
def remove(id_: str, guest: str) -> dict[str, Any]:
    now_ms = current_ms()
    with write_transaction() as connection:
        leaving.remove(connection, current_owner(), id_, guest, now_ms)
    return dict(DoneSchema().dump({"done": True}))


@blueprint.get("/api/group-tastings/<id_>/phones")
@operation(
    "How long ago the phones of the guests last asked",
    answers={200: PhonesSchema},
    problems=_OWN,
    parameters=_ID,
)
def phones(id_: str) -> dict[str, Any]:
    with read_transaction() as connection:
        load_table(connection, current_owner(), id_)
        found = silence.silent_phones(connection, current_owner(), id_, now_s())
    return dict(PhonesSchema().dump({"phones": found}))


@blueprint.get("/api/group-tastings/<id_>/sheets.csv")
@operation(
    "The sheets of a led tasting for a spreadsheet",
    answers={200: CSV},
    problems=_OWN,
    parameters=_ID,
)
def sheets(id_: str) -> Response:
    with read_transaction() as connection:
        text = sheets_csv(connection, current_owner(), id_)
    if text is None:
        raise no_such_table()
    response = Response(text, mimetype=CSV)
    response.headers["Content-Disposition"] = "attachment; filename=sheets.csv"
    return response
