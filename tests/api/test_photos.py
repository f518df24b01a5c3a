"""Photos are re-encoded on upload, returned as stored, and visible to their owner only."""

from __future__ import annotations

import hashlib
import io
import os
import threading

import pytest
from flask import Flask
from flask.testing import FlaskClient
from PIL import Image

from tests.photo_records import push_photo
from webapp.api import photos as api_photos
from webapp.photos import folder as photo_folder
from webapp.photos.sanitize import AT_ONCE, Picture, sanitize_image

ID = "0192f0c1-2a3b-7c4d-8e5f-60718293a4b5"
PHOTO = f"/api/photos/{ID}"
JPEG = {"Content-Type": "image/jpeg"}


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    """Return a client whose notebook has the record of the photo."""
    return with_record(app)


@pytest.fixture
def any_client(any_app: Flask) -> FlaskClient:
    return with_record(any_app)


def with_record(app: Flask) -> FlaskClient:
    client = app.test_client()
    push_photo(client, ID)
    return client


def picture(colour: str = "maroon") -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (30, 20), colour).save(out, "JPEG")
    return out.getvalue()


def test_photo_is_returned_as_stored(any_client: FlaskClient) -> None:
    payload = any_client.put(PHOTO, data=picture(), headers=JPEG).json
    answer = any_client.get(PHOTO)
    assert hashlib.sha256(answer.data).hexdigest() == payload["sha256"]
    assert (payload["width_px"], payload["height_px"], payload["bytes"]) == (
        30,
        20,
        len(answer.data),
    )
    assert answer.mimetype == payload["media_type"] == "image/jpeg"


def test_uploading_a_photo_again_changes_nothing(any_client: FlaskClient) -> None:
    items = [any_client.put(PHOTO, data=picture(), headers=JPEG).json for _ in range(2)]
    assert items[0] == items[1]


def test_second_upload_replaces_the_photo(any_client: FlaskClient) -> None:
    any_client.put(PHOTO, data=picture(), headers=JPEG)
    payload = any_client.put(PHOTO, data=picture("olive"), headers=JPEG).json
    assert hashlib.sha256(any_client.get(PHOTO).data).hexdigest() == payload["sha256"]


def test_cached_photo_is_answered_with_304(client: FlaskClient) -> None:
    client.put(PHOTO, data=picture(), headers=JPEG)
    etag = client.get(PHOTO).headers["ETag"]
    assert client.get(PHOTO, headers={"If-None-Match": etag}).status_code == 304


@pytest.mark.parametrize("body", [b"", b"no picture", picture()[:200], b"GIF89a" + b"\0" * 40])
def test_invalid_image_is_rejected_with_a_reason(client: FlaskClient, body: bytes) -> None:
    answer = client.put(PHOTO, data=body, headers=JPEG)
    assert answer.status_code == 422
    assert answer.json["errors"] == {"photo": [{"code": "not_picture"}]}
    assert client.get(PHOTO).status_code == 404


def test_too_many_bytes_are_refused(client: FlaskClient, app: Flask) -> None:
    app.config["MAX_PHOTO_BYTES"] = 100
    assert client.put(PHOTO, data=picture(), headers=JPEG).status_code == 413


def test_too_many_pixels_are_refused(client: FlaskClient, app: Flask) -> None:
    app.config["MAX_PHOTO_PIXELS"] = 599
    answer = client.put(PHOTO, data=picture(), headers=JPEG)
    assert answer.json["errors"] == {"photo": [{"code": "too_many_pixels", "bound": 599}]}


def test_only_image_media_types_are_accepted(client: FlaskClient) -> None:
    assert (
        client.put(PHOTO, data=picture(), headers={"Content-Type": "text/html"}).status_code == 415
    )


@pytest.mark.parametrize(
    "id_", ["x", "..%2f..%2fbook.sqlite", "0192F0C1-2A3B-7C4D-8E5F-60718293A4B5"]
)
def test_invalid_photo_id_is_not_found(client: FlaskClient, id_: str) -> None:
    assert client.get(f"/api/photos/{id_}").status_code == 404
    assert client.put(f"/api/photos/{id_}", data=picture(), headers=JPEG).status_code in (404, 405)


def test_full_photo_disk_is_reported_and_stores_nothing(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, os.strerror(28))

    with monkeypatch.context() as patch:
        patch.setattr(photo_folder.os, "fsync", full)
        answer = client.put(PHOTO, data=picture(), headers=JPEG)
    assert (answer.status_code, answer.json["code"]) == (507, "no_room")
    assert client.get(PHOTO).status_code == 404
    assert client.put(PHOTO, data=picture(), headers=JPEG).status_code == 200


def test_uploading_again_restores_a_lost_photo_file(client: FlaskClient, app: Flask) -> None:
    client.put(PHOTO, data=picture(), headers=JPEG)
    for folder, _, names in os.walk(app.config["PHOTO_FOLDER"]):
        for name in names:
            os.unlink(os.path.join(folder, name))
    assert client.get(PHOTO).status_code == 404
    client.put(PHOTO, data=picture(), headers=JPEG)
    assert client.get(PHOTO).status_code == 200


def test_photo_requests_leave_threads_for_other_requests(
    client: FlaskClient, app: Flask, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun, go_on = threading.Semaphore(0), threading.Event()

    def slow(content: bytes, most_pixels: int) -> Picture:
        begun.release()
        assert go_on.wait(60)
        return sanitize_image(content, most_pixels)

    monkeypatch.setattr(api_photos, "sanitize_image", slow)
    answers = list[int]()

    def send() -> None:
        result = app.test_client().put(PHOTO, data=picture(), headers=JPEG)
        answers.append(result.status_code)

    senders = [threading.Thread(target=send) for _ in range(AT_ONCE + 1)]
    for one in senders:
        one.start()
    for _ in senders:
        assert begun.acquire(timeout=60)
    busy = client.put(PHOTO, data=picture(), headers=JPEG)
    assert (busy.status_code, busy.json["code"]) == (503, "pictures_busy")
    go_on.set()
    for one in senders:
        one.join()
    assert answers == [200] * len(senders)
    assert client.put(PHOTO, data=picture(), headers=JPEG).status_code == 200
