"""GET /api/export and POST /api/import: the whole book out and in."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import IO

from flask import Blueprint, Response, current_app, request
from marshmallow import Schema, fields

from webapp.accounts.owners import current_owner
from webapp.api.errors import BookError
from webapp.api.operation import operation
from webapp.db import reading, writing
from webapp.export.read import DamagedBook, read_zip
from webapp.export.take_over import take_over
from webapp.export.write import write_book

blueprint = Blueprint("book", __name__)
ZIP = "application/zip"
_IN_MEMORY_BYTES = 8_000_000
_CHUNK_BYTES = 1 << 20


class TakenOverSchema(Schema):
    """How much of an imported book was new."""

    records = fields.Integer(required=True)
    revisions = fields.Integer(required=True)
    photos = fields.Integer(required=True)


@blueprint.get("/api/export")
@operation("The whole book as a ZIP", answers={200: ZIP}, problems=(421, 503))
def export() -> Response:
    out = tempfile.SpooledTemporaryFile(max_size=_IN_MEMORY_BYTES)  # noqa: SIM115
    with reading() as connection:
        write_book(connection, current_owner(), Path(current_app.config["PHOTO_FOLDER"]), out)
    response = Response(_chunks(out), mimetype=ZIP)
    response.content_length = out.tell()
    today = datetime.now(UTC).date().isoformat()
    name = f"second-nose-{today}.zip"
    response.headers["Content-Disposition"] = f"attachment; filename={name}"
    return response


def _chunks(file: IO[bytes]) -> Iterator[bytes]:
    length = file.tell()
    with file:
        file.seek(0)
        for _ in range(0, length, _CHUNK_BYTES):
            yield file.read(_CHUNK_BYTES)


@blueprint.post("/api/import")
@operation(
    "Merge a whole book from a ZIP, or refuse it whole",
    body=(ZIP,),
    answers={200: TakenOverSchema},
    problems=(400, 403, 413, 415, 421, 422, 503),
)
def import_() -> dict[str, int]:
    if request.mimetype != ZIP:
        raise BookError(415, "media_type", f"Send {ZIP}.")
    config = current_app.config
    request.max_content_length = config["MAX_IMPORT_BYTES"]
    with tempfile.SpooledTemporaryFile(max_size=_IN_MEMORY_BYTES) as file:
        while chunk := request.stream.read(_CHUNK_BYTES):
            file.write(chunk)
        file.seek(0)
        try:
            book = read_zip(file, config["MAX_IMPORT_BYTES"])
            with writing() as connection:
                taken = take_over(
                    connection,
                    current_owner(),
                    book,
                    Path(config["PHOTO_FOLDER"]),
                    config["MAX_PHOTO_PIXELS"],
                )
        except DamagedBook as error:
            told = {"place": error.place, "code": error.code, "errors": error.errors}
            raise BookError(
                422, "damaged_book", f"Nothing was imported. {error}", errors=told
            ) from None
    return dict(TakenOverSchema().dump(taken))
