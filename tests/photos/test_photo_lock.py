"""A picture is decoded before the database is locked, so that nobody waits for it."""

from __future__ import annotations

import threading
from typing import Any

import pytest

from tests.auth.conftest import add_owners, signed_in_client
from tests.conftest import AppMaker
from tests.locked_databases import wait_briefly
from tests.photo_records import push_photo
from tests.retention.test_erasure import ID, JPEG, OTHER, picture
from webapp.api import photos


def test_another_owner_syncs_while_a_picture_is_decoded(
    make_app: AppMaker, monkeypatch: pytest.MonkeyPatch
) -> None:
    app = make_app()
    add_owners(app)
    wait_briefly(app)
    anna, bruno = signed_in_client(app, "anna"), signed_in_client(app, "bruno")
    push_photo(anna, ID)
    decode, answers = photos.sanitize_image, list[Any]()

    def decode_slowly(*given: Any) -> Any:
        other = threading.Thread(target=lambda: answers.append(push_photo(bruno, OTHER)))
        other.start()
        other.join()
        return decode(*given)

    monkeypatch.setattr(photos, "sanitize_image", decode_slowly)
    answer = anna.put(f"/api/photos/{ID}", data=picture(), headers=JPEG)
    assert answer.status_code == 200
    assert [one["outcomes"][0]["outcome"] for one in answers] == ["applied"]
