"""Pairing of a phone by QR code; `webapp.auth.pairing` describes the steps."""

from __future__ import annotations

import io
from typing import Any
from urllib.parse import urlsplit

import segno
from flask import Blueprint, Response, current_app, jsonify, request
from marshmallow import RAISE, Schema, fields

from webapp.api.http.body import json_body, load
from webapp.api.http.common import (
    ID_PATTERN,
    MAX_BODY_BYTES,
    DoneSchema,
    MeSchema,
    current_sign_in_id,
    iso_time,
    now_s,
    sign_in_response,
    text_field,
)
from webapp.api.http.operation import operation
from webapp.auth import pairing
from webapp.auth.authenticate import browser_key
from webapp.auth.owners import current_owner
from webapp.auth.request_checks import passphrase_required, public
from webapp.db.engine import read_transaction, write_transaction

blueprint = Blueprint("pairings", __name__)
LOCAL_HOSTS = ("localhost", "127.0.0.1", "::1", "0.0.0.0", "::")
_ID = {"id_": {"pattern": ID_PATTERN}}
_OWN = (403, 404, 421, 503)
_ANYBODY = (400, 403, 404, 413, 415, 421, 503)


class OfferSchema(Schema):
    """`svg` is the QR code of `url`; `reachable` is false if `url` works on this machine only."""

    id = fields.String(required=True)
    url = fields.String(required=True)
    svg = fields.String(required=True)
    until = fields.String(required=True)
    reachable = fields.Boolean(required=True)


class PairingSchema(Schema):
    """`state` is open, claimed or allowed; `code` and `name` are the phone's, null while open."""

    state = fields.String(required=True)
    code = fields.String(required=True, allow_none=True)
    name = fields.String(required=True, allow_none=True)
    until = fields.String(required=True)


class CodeSchema(Schema):
    """The short code that both devices show."""

    class Meta:
        unknown = RAISE

    code = text_field(8)


class SecretSchema(Schema):
    """The secret of the QR code, and the phone's name for the list of devices."""

    class Meta:
        unknown = RAISE

    secret = text_field(100)
    device_name = text_field(200, required=False, load_default="")


class ClaimSchema(Schema):
    """The short code to show, and the claim token for the following requests."""

    code = fields.String(required=True)
    claim = fields.String(required=True)
    until = fields.String(required=True)


class ClaimTokenSchema(Schema):
    """The claim token of a waiting phone."""

    class Meta:
        unknown = RAISE

    claim = text_field(100)


class WaitingSchema(Schema):
    """The owner has not compared the codes yet; `waiting` is true."""

    waiting = fields.Boolean(required=True)


@blueprint.post("/api/pairings")
@passphrase_required
@operation(
    "Offer to sign a phone in",
    answers={200: OfferSchema},
    problems=_OWN,
    links=dict.fromkeys(
        ("pairings.look", "pairings.allow", "pairings.withdraw"), "$response.body#/id"
    ),
)
def offer() -> dict[str, Any]:
    with write_transaction() as connection:
        offered = pairing.create_offer(connection, current_owner(), current_sign_in_id(), now_s())
    address = current_app.config["ADDRESS"].rstrip("/") or request.host_url.rstrip("/")
    # The secret is in the fragment, which browsers do not send, so no log contains it.
    url = f"{address}/#/settings/join/{offered.secret}"
    payload = {
        "id": offered.id,
        "url": url,
        "svg": qr_code(url),
        "until": iso_time(offered.until),
        "reachable": urlsplit(address).hostname not in LOCAL_HOSTS,
    }
    return dict(OfferSchema().dump(payload))


def qr_code(content: str) -> str:
    """Return an SVG, dark on light in any theme, with the quiet zone of ISO/IEC 18004."""
    out = io.BytesIO()
    code = segno.make(content, error="m", micro=False)
    code.save(out, kind="svg", scale=4, border=4, dark="#000", light="#fff", xmldecl=False)
    return out.getvalue().decode()


@blueprint.get("/api/pairings/<id_>")
@operation("The state of an offer", answers={200: PairingSchema}, problems=_OWN, parameters=_ID)
def look(id_: str) -> dict[str, Any]:
    with read_transaction() as connection:
        found = pairing.get_offer(connection, current_owner(), current_sign_in_id(), id_, now_s())
    return dict(PairingSchema().dump(_pairing_json(found)))


def _pairing_json(offer_: pairing.OpenOffer) -> dict[str, Any]:
    state = "open" if offer_.code is None else "allowed" if offer_.allowed else "claimed"
    return {
        "state": state,
        "code": offer_.code,
        "name": offer_.name,
        "until": iso_time(offer_.until),
    }


@blueprint.post("/api/pairings/<id_>/allow")
@passphrase_required
@operation(
    "Allow the phone with this code to sign in",
    body=CodeSchema,
    answers={200: DoneSchema},
    problems=(400, 413, 415, *_OWN),
    parameters=_ID,
)
def allow(id_: str) -> dict[str, Any]:
    payload = load(CodeSchema(), json_body(MAX_BODY_BYTES))
    with write_transaction() as connection:
        pairing.approve(
            connection, current_owner(), current_sign_in_id(), id_, payload["code"], now_s()
        )
    return dict(DoneSchema().dump({"done": True}))


@blueprint.delete("/api/pairings/<id_>")
@operation("Withdraw an offer", answers={200: DoneSchema}, problems=_OWN, parameters=_ID)
def withdraw(id_: str) -> dict[str, Any]:
    with write_transaction() as connection:
        pairing.get_offer(connection, current_owner(), current_sign_in_id(), id_, now_s())
        pairing.cancel(connection, current_owner(), id_)
    return dict(DoneSchema().dump({"done": True}))


@blueprint.post("/api/pairings/claim")
@public
@operation(
    "Claim an offer that was read as a QR code",
    body=SecretSchema,
    answers={200: ClaimSchema},
    problems=_ANYBODY,
)
def claim() -> dict[str, Any]:
    payload = load(SecretSchema(), json_body(MAX_BODY_BYTES))
    with write_transaction() as connection:
        claimed = pairing.claim_offer(
            connection, payload["secret"], payload["device_name"], now_s()
        )
    body = {"code": claimed.code, "claim": claimed.claim, "until": iso_time(claimed.until)}
    return dict(ClaimSchema().dump(body))


@blueprint.post("/api/pairings/finish")
@public
@operation(
    "Complete a claim that the owner has allowed",
    body=ClaimTokenSchema,
    answers={200: MeSchema, 202: WaitingSchema},
    problems=(*_ANYBODY, 426),
)
def finish() -> Response:
    payload = load(ClaimTokenSchema(), json_body(MAX_BODY_BYTES))
    address, key = request.remote_addr or "", browser_key()
    with write_transaction() as connection:
        done = pairing.complete(connection, payload["claim"], address, key, now_s())
    if done is None:
        waiting = jsonify(WaitingSchema().dump({"waiting": True}))
        waiting.status_code = 202
        return waiting
    return sign_in_response(*done)


@blueprint.post("/api/pairings/leave")
@public
@operation(
    "Withdraw a claim",
    body=ClaimTokenSchema,
    answers={200: DoneSchema},
    problems=(400, 403, 413, 415, 421, 503),
)
def leave() -> dict[str, Any]:
    payload = load(ClaimTokenSchema(), json_body(MAX_BODY_BYTES))
    with write_transaction() as connection:
        pairing.leave(connection, payload["claim"])
    return dict(DoneSchema().dump({"done": True}))
