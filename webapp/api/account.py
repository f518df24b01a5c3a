"""Sign-in, sign-out, passphrase, and the list of signed-in devices."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, Response, jsonify, request
from marshmallow import RAISE, Schema, fields

from webapp.api.http.body import json_body, load
from webapp.api.http.common import (
    ID_PATTERN,
    MAX_BODY_BYTES,
    DoneSchema,
    MeSchema,
    end_current_session,
    iso_time,
    me_json,
    now_s,
    sign_in_response,
    text_field,
)
from webapp.api.http.operation import operation
from webapp.auth import login, sessions
from webapp.auth.authenticate import (
    browser_key,
    check_owner_header,
    clear_session_cookie,
    current_sign_in,
)
from webapp.auth.errors import AccessError, WeakPassphrase
from webapp.auth.owners import current_owner
from webapp.auth.passphrase import MAX_PASSPHRASE_LENGTH
from webapp.auth.request_checks import passphrase_required, public
from webapp.auth.sessions import Browser
from webapp.db.engine import read_transaction, write_transaction

blueprint = Blueprint("accounts", __name__)


class SignInSchema(Schema):
    """Name and passphrase of an owner, and this device's name for the list of devices."""

    class Meta:
        unknown = RAISE

    name = text_field(200)
    passphrase = text_field(4 * MAX_PASSPHRASE_LENGTH)
    device_name = text_field(200, required=False, load_default="")


class PassphraseSchema(Schema):
    """The current passphrase (empty if there is none yet) and the new one."""

    class Meta:
        unknown = RAISE

    current = text_field(4 * MAX_PASSPHRASE_LENGTH)
    new = text_field(4 * MAX_PASSPHRASE_LENGTH)
    device_name = text_field(200, required=False, load_default="")


class ShownSchema(Schema):
    """The passphrase, entered again."""

    class Meta:
        unknown = RAISE

    passphrase = text_field(4 * MAX_PASSPHRASE_LENGTH)


class DeviceSchema(Schema):
    """A signed-in device; `current` marks the one of this request."""

    id = fields.String(required=True)
    name = fields.String(required=True)
    made_at = fields.String(required=True)
    last_seen = fields.String(required=True)
    last_synced = fields.String(required=True, allow_none=True)
    current = fields.Boolean(required=True)


class DevicesSchema(Schema):
    """The signed-in devices, most recently seen first."""

    devices = fields.List(fields.Nested(DeviceSchema), required=True)


@blueprint.get("/api/me")
@operation("The owner of this device", answers={200: MeSchema}, problems=(421, 503))
def me() -> dict[str, Any]:
    row = current_sign_in()
    return me_json(current_owner(), row.id if row else None)


@blueprint.post("/api/sign-in")
@public
@operation(
    "Sign this device in",
    body=SignInSchema,
    answers={200: MeSchema},
    problems=(400, 401, 403, 413, 415, 421, 426, 503),
)
def sign_in() -> Response:
    payload = load(SignInSchema(), json_body(MAX_BODY_BYTES))
    browser = Browser(payload["device_name"], request.remote_addr or "", browser_key())
    owner_id, token = login.sign_in(payload["name"], payload["passphrase"], browser, now_s())
    end_current_session()
    return sign_in_response(owner_id, token)


@blueprint.post("/api/sign-out")
@public
@operation("Sign this device out", answers={200: DoneSchema}, problems=(401, 403, 409, 421, 503))
def sign_out() -> Response:
    row = current_sign_in()
    if row is not None:
        # The tab of a notebook whose sign-in has ended must not sign out somebody else.
        check_owner_header(row.owner_id)
    end_current_session()
    return clear_session_cookie(jsonify(DoneSchema().dump({"done": True})))


@blueprint.post("/api/passphrase")
@operation(
    "Change the passphrase, and sign every other device out",
    body=PassphraseSchema,
    answers={200: MeSchema},
    problems=(400, 413, 415, 421, 422, 426, 503),
)
def passphrase() -> Response:
    payload = load(PassphraseSchema(), json_body(MAX_BODY_BYTES))
    row = current_sign_in()
    name = payload["device_name"] or (row.name if row else "")
    browser = Browser(name, request.remote_addr or "", browser_key())
    try:
        token = login.change_passphrase(
            current_owner(),
            row.id if row else None,
            payload["current"],
            payload["new"],
            browser,
            now_s(),
        )
    except WeakPassphrase as error:
        raise AccessError(
            "weak_passphrase", str(error), details={"new": [{"code": error.code}]}
        ) from None
    return sign_in_response(current_owner(), token)


@blueprint.get("/api/devices")
@operation(
    "The devices signed in",
    answers={200: DevicesSchema},
    problems=(421, 503),
    links={"accounts.revoke": "$response.body#/devices/0/id"},
)
def devices() -> dict[str, Any]:
    row = current_sign_in()
    with read_transaction() as connection:
        found = sessions.devices_of(connection, current_owner(), now_s())
    listed = [
        {
            **one,
            "made_at": iso_time(one["made_at"]),
            "last_seen": iso_time(one["last_seen"]),
            "current": row is not None and one["id"] == row.id,
        }
        for one in found
    ]
    return dict(DevicesSchema().dump({"devices": listed}))


@blueprint.post("/api/confirm")
@operation(
    "Enter the passphrase again, for operations that require it",
    body=ShownSchema,
    answers={200: DoneSchema},
    problems=(400, 413, 415, 421, 503),
)
def confirm() -> dict[str, Any]:
    payload = load(ShownSchema(), json_body(MAX_BODY_BYTES))
    row = current_sign_in()
    if row is not None:
        address = request.remote_addr or ""
        login.confirm(row.owner_id, row.id, payload["passphrase"], address, now_s())
    return dict(DoneSchema().dump({"done": True}))


@blueprint.delete("/api/devices/<id_>")
@passphrase_required
@operation(
    "Sign a device out from here",
    answers={200: DoneSchema},
    problems=(403, 404, 421, 503),
    parameters={"id_": {"pattern": ID_PATTERN}},
)
def revoke(id_: str) -> dict[str, Any]:
    with write_transaction() as connection:
        ended = sessions.end(connection, current_owner(), id_, "revoked", now_s())
    if not ended:
        raise AccessError("no_device", "No signed-in device has this id.")
    return dict(DoneSchema().dump({"done": True}))
