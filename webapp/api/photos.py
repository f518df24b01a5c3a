"""PUT and GET /api/photos/<id>: the bytes of a photo, which are not part of its record."""

from __future__ import annotations

import threading

from flask import Blueprint, Response, current_app, request
from marshmallow import Schema, fields

from webapp.api.http.body import raw_body
from webapp.api.http.errors import ApiError
from webapp.api.http.operation import operation
from webapp.auth.owners import current_owner
from webapp.db.engine import read_transaction, write_transaction
from webapp.photos.files import StoreUnavailable, photo_files
from webapp.photos.sanitize import AT_ONCE, Picture, PictureError, sanitize_image
from webapp.photos.storage import NoRecord, PhotoStore, find_photo, store_photo
from webapp.records.quota import OverQuota
from webapp.records.schemas import UUID_PATTERN
from webapp.records.validate import is_id

blueprint = Blueprint("photos", __name__)
MEDIA_TYPES = ("image/jpeg", "image/webp", "image/png")
MESSAGES = {
    "not_picture": "This picture cannot be read.",
    "too_many_pixels": "This picture has too many pixels.",
    "too_many_photos": "The number of pictures would exceed the quota of this server.",
    "too_many_photo_bytes": "The size of the pictures would exceed the quota of this server.",
}
# AT_ONCE pictures in work and one waiting, so that threads remain for other requests.
_slots = threading.BoundedSemaphore(AT_ONCE + 1)
_ID = {"id_": {"pattern": UUID_PATTERN}}


class PhotoSchema(Schema):
    """A stored picture, re-encoded and without metadata."""

    id = fields.String(required=True)
    sha256 = fields.String(required=True)
    media_type = fields.String(required=True)
    width_px = fields.Integer(required=True)
    height_px = fields.Integer(required=True)
    bytes = fields.Integer(required=True)


@blueprint.put("/api/photos/<id_>")
@operation(
    "Store the picture of a photo record",
    body=MEDIA_TYPES,
    answers={200: PhotoSchema},
    problems=(400, 403, 404, 413, 415, 421, 422, 503, 507),
    parameters=_ID,
    links={"photos.get_photo": "$response.body#/id"},
)
def put_photo(id_: str) -> dict[str, object]:
    _check_id(id_)
    if request.mimetype not in MEDIA_TYPES:
        raise ApiError(415, "media_type", f"Send one of {', '.join(MEDIA_TYPES)}.")
    if not _slots.acquire(blocking=False):
        raise ApiError(503, "pictures_busy", "The server is busy with pictures.", retry_after_s=5)
    try:
        picture = _store(id_)
    finally:
        _slots.release()
    return dict(PhotoSchema().dump({"id": id_, **picture.facts()}))


def _store(id_: str) -> Picture:
    content = raw_body(current_app.config["MAX_PHOTO_BYTES"])
    store = PhotoStore.of(current_app.config)
    try:
        picture = sanitize_image(content, store.max_pixels)
        store_photo(write_transaction, store, current_owner(), id_, picture)
    except (PictureError, OverQuota) as error:
        details = {"code": error.code} | ({"bound": error.bound} if error.bound else {})
        raise ApiError(422, error.code, MESSAGES[error.code], errors={"photo": [details]}) from None
    except NoRecord:
        raise ApiError(404, "no_record", "Send the record of this photo first.") from None
    except StoreUnavailable:
        raise
    except OSError:
        raise ApiError(
            507, "no_room", "The server has no room for this picture.", retry_after_s=300
        ) from None
    return picture


@blueprint.get("/api/photos/<id_>")
@operation(
    "The picture of a photo record",
    answers={200: "image/*", 304: None},
    problems=(404, 421, 503),
    parameters=_ID,
)
def get_photo(id_: str) -> Response:
    _check_id(id_)
    with read_transaction() as connection:
        row = find_photo(connection, current_owner(), id_)
    content = None
    if row is not None:
        content = photo_files(current_app.config["PHOTO_FOLDER"]).read(row.owner_id, row.sha256)
    if row is None or content is None:
        raise ApiError(404, "no_photo", "There is no picture under this id.")
    response = Response(content, mimetype=row.media_type)
    response.set_etag(row.sha256)
    response.headers["Cache-Control"] = "private, no-cache"
    response.make_conditional(request)
    return response


def _check_id(id_: str) -> None:
    if not is_id(id_):
        raise ApiError(404, "no_photo", "There is no picture under this id.")
