"""GET /api/export and POST /api/import: the whole notebook as an archive."""

from __future__ import annotations

import tempfile
import threading
from collections.abc import Iterator
from datetime import UTC, datetime
from typing import IO, Any

from flask import Blueprint, Response, current_app, request
from marshmallow import Schema, fields

from webapp.api.http.errors import ApiError
from webapp.api.http.operation import operation
from webapp.archive.dump import export_archive
from webapp.archive.load import ImportCounts, ImportInterrupted, import_archive
from webapp.archive.parse import InvalidArchive, read_zip
from webapp.auth.owners import current_owner
from webapp.auth.request_checks import passphrase_required
from webapp.db.engine import read_transaction, write_transaction
from webapp.photos.files import StoreUnavailable, photo_files
from webapp.photos.storage import PhotoStore
from webapp.records.quota import OverQuota

blueprint = Blueprint("book", __name__)
ZIP = "application/zip"
_IN_MEMORY_BYTES = 8_000_000
_CHUNK_BYTES = 1 << 20
# An import has the text of a file of the archive in memory, so a process runs one at a time.
_import_slot = threading.BoundedSemaphore(1)


class SkippedRecordSchema(Schema):
    """A record that was not merged, because the result would be too big."""

    kind = fields.String(required=True)
    id = fields.String(required=True)
    code = fields.String(required=True)


class ImportCountsSchema(Schema):
    """How much of an imported archive was new."""

    records = fields.Integer(required=True)
    revisions = fields.Integer(required=True)
    photos = fields.Integer(required=True)


class ImportResultSchema(ImportCountsSchema):
    """How much of an imported archive was new, and which records were not merged."""

    skipped = fields.List(fields.Nested(SkippedRecordSchema), required=True)


@blueprint.get("/api/export")
@passphrase_required
@operation("Export the notebook as a ZIP", answers={200: ZIP}, problems=(421, 503, 507))
def export() -> Response:
    out = tempfile.SpooledTemporaryFile(max_size=_IN_MEMORY_BYTES)  # noqa: SIM115
    try:
        with read_transaction() as connection:
            files = photo_files(current_app.config["PHOTO_FOLDER"])
            export_archive(connection, current_owner(), files, out)
    except BaseException:
        out.close()
        raise
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
    "Merge an archive into the notebook; an invalid one changes nothing",
    body=(ZIP,),
    answers={200: ImportResultSchema},
    problems=(400, 403, 413, 415, 421, 422, 503, 507),
)
def import_() -> dict[str, Any]:
    if request.mimetype != ZIP:
        raise ApiError(415, "media_type", f"Send {ZIP}.")
    if not _import_slot.acquire(blocking=False):
        raise ApiError(
            503, "import_busy", "Another import is running; try again later.", retry_after_s=30
        )
    try:
        with tempfile.SpooledTemporaryFile(max_size=_IN_MEMORY_BYTES) as file:
            return dict(ImportResultSchema().dump(_import_from(file)))
    finally:
        _import_slot.release()


def _import_from(file: IO[bytes]) -> ImportCounts:
    config = current_app.config
    request.max_content_length = config["MAX_IMPORT_BYTES"]
    while chunk := request.stream.read(_CHUNK_BYTES):
        file.write(chunk)
    file.seek(0)
    try:
        archive = read_zip(file, config["MAX_IMPORT_BYTES"])
        return import_archive(write_transaction, current_owner(), archive, PhotoStore.of(config))
    except InvalidArchive as error:
        details = {"place": error.place, "code": error.code, "errors": error.errors}
        raise ApiError(
            422, "damaged_book", f"Nothing was imported. {error}", errors=details
        ) from None
    except OverQuota as error:
        details = {"code": error.code, "bound": error.bound}
        raise ApiError(
            422, error.code, "Nothing was imported. It would exceed a quota.", errors=details
        ) from None
    except ImportInterrupted as error:
        raise _interrupted(error) from error


def _interrupted(error: ImportInterrupted) -> ApiError:
    """Say what to do before the same file is sent again."""
    status, first, wait_s = 503, "", 30
    if isinstance(error.cause, OverQuota):
        status, first, wait_s = 422, "There is no room for all of it: delete something. ", 0
    elif isinstance(error.cause, StoreUnavailable):
        first = "The photo store cannot be reached. "
    elif isinstance(error.cause, OSError):
        status, first, wait_s = 507, "The server's disk is full. ", 300
    return ApiError(
        status,
        "import_interrupted",
        f"The import broke off in the middle; what was merged stays. {first}"
        "Send the same file again to go on.",
        errors=ImportCountsSchema().dump(error.counts),
        retry_after_s=wait_s or None,
    )
