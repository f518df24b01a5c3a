"""Passkeys: adding, listing and removing them, and signing in; see `webapp.auth.passkey_login`."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, Response, request
from marshmallow import RAISE, Schema, fields, validate

from webapp.api.http.body import json_body, load
from webapp.api.http.common import (
    ID_PATTERN,
    MAX_BODY_BYTES,
    DoneSchema,
    MeSchema,
    current_sign_in_id,
    end_current_session,
    iso_time,
    now_s,
    sign_in_response,
    text_field,
)
from webapp.api.http.operation import operation
from webapp.auth import passkey_login, passkeys
from webapp.auth.authenticate import browser_key
from webapp.auth.errors import AccessError
from webapp.auth.owners import current_owner
from webapp.auth.passkey_login import relying_party
from webapp.auth.request_checks import passphrase_required, public
from webapp.auth.sessions import Browser
from webapp.db.engine import read_transaction, write_transaction

blueprint = Blueprint("passkeys", __name__)
MAX_FIELD_LENGTH = 8_000
_ID = {"id_": {"pattern": ID_PATTERN}}


def base64url_field(max_length: int = MAX_FIELD_LENGTH) -> fields.String:
    """Define bytes of a request, as base64url without padding."""
    form = validate.Regexp(r"[A-Za-z0-9_-]*\Z", error="not_base64url")
    length = validate.Length(min=1, max=max_length, error="wrong_length")
    return fields.String(required=True, validate=[length, form])


class OptionsSchema(Schema):
    """The options for the browser's WebAuthn call, bytes as base64url."""

    public_key = fields.Dict(keys=fields.String(), required=True)


class NewPasskeySchema(Schema):
    """A new credential, as base64url, and its name in the list."""

    class Meta:
        unknown = RAISE

    id = base64url_field(1_400)
    client_data = base64url_field()
    attestation = base64url_field()
    name = text_field(200, required=False, load_default="")


class ShownPasskeySchema(Schema):
    """A signed challenge, as base64url, and the name of this device in the list."""

    class Meta:
        unknown = RAISE

    id = base64url_field(1_400)
    client_data = base64url_field()
    authenticator_data = base64url_field()
    signature = base64url_field()
    user_handle = base64url_field(100)
    device_name = text_field(200, required=False, load_default="")


class PasskeyNameSchema(Schema):
    """The name of a passkey in the list."""

    class Meta:
        unknown = RAISE

    name = text_field(200)


class PasskeySchema(Schema):
    """A passkey; it is valid for the host name `host`."""

    id = fields.String(required=True)
    name = fields.String(required=True)
    host = fields.String(required=True)
    made_at = fields.String(required=True)
    last_used = fields.String(required=True, allow_none=True)


class PasskeysSchema(Schema):
    """The passkeys, newest first."""

    passkeys = fields.List(fields.Nested(PasskeySchema), required=True)


@blueprint.post("/api/passkeys/options")
@passphrase_required
@operation(
    "Begin to add a passkey",
    answers={200: OptionsSchema},
    problems=(403, 409, 421, 426, 503),
)
def begin() -> dict[str, Any]:
    party, browser = relying_party(request.host), _browser("")
    made = passkey_login.begin_adding(
        current_owner(), current_sign_in_id(), party, browser, now_s()
    )
    return dict(OptionsSchema().dump({"public_key": made}))


@blueprint.post("/api/passkeys")
@operation(
    "Add the passkey that was begun in the last minutes",
    body=NewPasskeySchema,
    answers={200: PasskeySchema},
    problems=(400, 401, 409, 410, 413, 415, 421, 426, 503),
    links=dict.fromkeys(("passkeys.rename", "passkeys.remove"), "$response.body#/id"),
)
def add() -> dict[str, Any]:
    payload = load(NewPasskeySchema(), json_body(MAX_BODY_BYTES))
    sign_in_id = current_sign_in_id()
    if sign_in_id is None:
        raise AccessError("sign_in", "Sign in first.")
    party, browser = relying_party(request.host), _browser(payload["name"])
    row = passkey_login.finish_adding(current_owner(), sign_in_id, payload, party, browser, now_s())
    return dict(PasskeySchema().dump(_passkey_json(row)))


@blueprint.get("/api/passkeys")
@operation(
    "The owner's passkeys",
    answers={200: PasskeysSchema},
    problems=(421, 503),
    links=dict.fromkeys(("passkeys.rename", "passkeys.remove"), "$response.body#/passkeys/0/id"),
)
def listed() -> dict[str, Any]:
    with read_transaction() as connection:
        rows = passkeys.passkeys_of(connection, current_owner())
    return dict(PasskeysSchema().dump({"passkeys": [_passkey_json(row) for row in rows]}))


@blueprint.post("/api/passkeys/<id_>/name")
@operation(
    "Give a passkey another name",
    body=PasskeyNameSchema,
    answers={200: PasskeySchema},
    problems=(400, 404, 413, 415, 421, 503),
    parameters=_ID,
)
def rename(id_: str) -> dict[str, Any]:
    payload = load(PasskeyNameSchema(), json_body(MAX_BODY_BYTES))
    with write_transaction() as connection:
        row = passkeys.rename(connection, current_owner(), id_, payload["name"])
    return dict(PasskeySchema().dump(_passkey_json(row)))


@blueprint.delete("/api/passkeys/<id_>")
@passphrase_required
@operation(
    "Remove a passkey",
    answers={200: DoneSchema},
    problems=(403, 404, 421, 503),
    parameters=_ID,
)
def remove(id_: str) -> dict[str, Any]:
    with write_transaction() as connection:
        passkeys.remove(connection, current_owner(), id_)
    return dict(DoneSchema().dump({"done": True}))


@blueprint.post("/api/passkeys/sign-in/options")
@public
@operation(
    "Begin to sign this device in with a passkey",
    answers={200: OptionsSchema},
    problems=(403, 421, 426, 429, 503),
)
def begin_sign_in() -> dict[str, Any]:
    made = passkey_login.begin_sign_in(relying_party(request.host), _browser(""), now_s())
    return dict(OptionsSchema().dump({"public_key": made}))


@blueprint.post("/api/passkeys/sign-in")
@public
@operation(
    "Sign this device in with a passkey",
    body=ShownPasskeySchema,
    answers={200: MeSchema},
    problems=(400, 401, 403, 410, 413, 415, 421, 426, 429, 503),
)
def sign_in() -> Response:
    payload = load(ShownPasskeySchema(), json_body(MAX_BODY_BYTES))
    party, browser = relying_party(request.host), _browser(payload["device_name"])
    owner_id, token = passkey_login.sign_in_with_passkey(payload, party, browser, now_s())
    end_current_session()
    return sign_in_response(owner_id, token)


def _browser(name: str) -> Browser:
    return Browser(name, request.remote_addr or "", browser_key())


def _passkey_json(row: Any) -> dict[str, Any]:
    return {
        "id": row.id,
        "name": row.name,
        "host": row.host,
        "made_at": iso_time(row.made_at),
        "last_used": iso_time(row.last_used) if row.last_used else None,
    }
