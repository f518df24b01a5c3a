"""POST /api/erase: deletes a notebook permanently."""

from __future__ import annotations

from flask import Blueprint, Response, current_app, jsonify, request
from marshmallow import RAISE, Schema

from webapp.api.http.body import json_body, load
from webapp.api.http.common import MAX_BODY_BYTES, DoneSchema, now_s, text_field
from webapp.api.http.operation import operation
from webapp.auth import login
from webapp.auth.authenticate import clear_session_cookie, current_sign_in, owner_json
from webapp.auth.errors import AccessError
from webapp.auth.owners import current_owner
from webapp.auth.passphrase import MAX_PASSPHRASE_LENGTH
from webapp.photos.files import photo_files

blueprint = Blueprint("erasure", __name__)


class EraseSchema(Schema):
    """`owner` must be the uid of the signed-in owner; `passphrase` is empty if none is set."""

    class Meta:
        unknown = RAISE

    owner = text_field(20)
    passphrase = text_field(4 * MAX_PASSPHRASE_LENGTH)


@blueprint.post("/api/erase")
@operation(
    "Delete the notebook, its photos and its sign-ins permanently",
    body=EraseSchema,
    answers={200: DoneSchema},
    problems=(400, 413, 415, 421, 503),
)
def erase() -> Response:
    payload = load(EraseSchema(), json_body(MAX_BODY_BYTES))
    owner = owner_json(current_owner())
    if payload["owner"] != owner["uid"]:
        raise AccessError("other_owner", "This is another owner.", details={"owner": owner})
    files = photo_files(current_app.config["PHOTO_FOLDER"])
    row = current_sign_in()
    login.erase(
        current_owner(),
        row.id if row else None,
        payload["passphrase"],
        files.delete_owner,
        request.remote_addr or "",
        now_s(),
    )
    return clear_session_cookie(jsonify(DoneSchema().dump({"done": True})))
