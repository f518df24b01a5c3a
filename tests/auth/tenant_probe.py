"""Requests to every route of the OpenAPI document by an owner who knows another owner's ids."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from flask import Flask
from flask.testing import FlaskClient
from PIL import Image
from sqlalchemy import select
from werkzeug.test import TestResponse

from tests.auth.conftest import browser
from tests.auth.passkey_steps import added, passkeys
from tests.group_tasting.evening import Guest, Leader
from webapp.auth.owners import set_current_owner
from webapp.db.engine import read_transaction
from webapp.db.tables import (
    account_event,
    group_guest_token,
    group_invitation,
    group_invitation_secret,
    pairing,
    palate_document,
    passkey,
    passkey_challenge,
    photo_bytes,
    record,
    revision,
    sign_in,
)

BOTTLE = "0192f0c1-2a3b-7c4d-8e5f-00000000000a"
PHOTO = "0192f0c1-2a3b-7c4d-8e5f-00000000000b"
SECRET_WORDS = "anna's plums in the cold cellar"
CLOCKS = ["1790000000000-0000-annaphone1", "1790000000001-0000-annaphone1"]
ZIP = "application/zip"
BOOKS = (
    *(record, revision, photo_bytes, sign_in, pairing, account_event, palate_document),
    *(passkey, passkey_challenge, group_invitation, group_invitation_secret, group_guest_token),
)
# A photo put under an id that another owner also uses goes into the caller's own notebook.
OWN = {("put", "/api/photos/{id_}")}
# These end the caller's session, so they run last.
LAST = ("/api/sign-out", "/api/passphrase", "/api/sign-in")


def change(kind: str, id_: str, clock: str, **fields: Any) -> dict[str, Any]:
    clocks = dict.fromkeys(fields, clock)
    return {"kind": kind, "id": id_, "fields": fields, "clocks": clocks}


def push(client: FlaskClient, *changes: dict[str, Any], cursor: int = 0) -> dict[str, Any]:
    request = {"format": 1, "device": "annaphone1", "cursor": cursor, "changes": changes}
    answer = client.post("/api/sync", json=request)
    assert answer.status_code == 200, answer.text
    body: dict[str, Any] = answer.json
    return body


def picture() -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (8, 8), "#7a9").save(out, "JPEG")
    return out.getvalue()


def fill(client: FlaskClient) -> None:
    """Store a bottle that has a revision, and a photo."""
    push(client, change("bottle", BOTTLE, CLOCKS[0], name="an earlier name"))
    push(client, change("bottle", BOTTLE, CLOCKS[1], name=SECRET_WORDS))
    push(client, change("photo", PHOTO, CLOCKS[0], bottle=BOTTLE))
    put = client.put(f"/api/photos/{PHOTO}", data=picture(), content_type="image/jpeg")
    assert put.status_code == 200, put.text
    assert client.get("/api/palate").status_code == 200


def routes(shared_app: Flask) -> Iterator[tuple[str, str, dict[str, Any]]]:
    """Yield (method, path, operation) for everything in the OpenAPI document."""
    document = shared_app.test_client().get("/api/openapi.json").json
    for path, operations in document["paths"].items():
        for method, entry in operations.items():
            yield method, path, entry


@dataclass(frozen=True)
class Known:
    """Ids of the other owner that the probe uses, and texts that would reveal a leak."""

    ids: tuple[str, ...]
    words: tuple[str, ...]


def known_of(client: FlaskClient, shared_app: Flask) -> Known:
    """Return Anna's ids: an open pairing offer, one that a phone has claimed, and a passkey."""
    offer = client.post("/api/pairings").json["id"]
    claimed = client.post("/api/pairings").json
    secret = claimed["url"].rpartition("/")[2]
    browser(shared_app).post("/api/pairings/claim", json={"secret": secret})
    device = client.get("/api/devices").json["devices"][0]["id"]
    uid = client.get("/api/me").json["owner"]["uid"]
    added(client, "anna's key")
    passkey_id = passkeys(client)[0]["id"]
    ids = (BOTTLE, PHOTO, offer, claimed["id"], device, passkey_id)
    table, guest, secret = led_tasting(client, shared_app)
    ids += (table, guest)
    return Known(ids, (*ids, uid, SECRET_WORDS, "annaphone1", "anna's key", secret, "anna's guest"))


def led_tasting(client: FlaskClient, shared_app: Flask) -> tuple[str, str, str]:
    """Return the ids of a led tasting and of its guest, and the secret of its invitation."""
    leader = Leader(client)
    leader.set_table([{"name": SECRET_WORDS}])
    secret = leader.invite()["secret"]
    guest = Guest(shared_app.test_client(), "anna's guest").join(secret=secret)
    assert guest.put(leader.glasses[0], words=SECRET_WORDS).status_code == 200
    return leader.table, guest.id, secret


def rows_of(shared_app: Flask, owner_id: int) -> list[tuple[Any, ...]]:
    """Return every row of an owner, to detect changes."""
    with shared_app.app_context():
        set_current_owner(owner_id)
        with read_transaction() as connection:
            return [
                (table.name, *row)
                for table in BOOKS
                for row in connection.execute(
                    select(table).where(table.c.owner_id == owner_id).order_by(*table.primary_key)
                )
            ]


def leaks(
    shared_app: Flask, stranger: FlaskClient, known: Known, only: str = ""
) -> list[tuple[str, str, str]]:
    """Return (method, path, error) for every route that leaks another owner's data.

    `only` is the path of the one route to ask.
    """
    found = []
    listed = sorted(routes(shared_app), key=lambda one: (one[1] in LAST, one[1]))
    before = rows_of(shared_app, 1)
    for method, path, entry in listed:
        if (method, path) in OWN or only not in ("", path):
            continue
        for id_ in known.ids if "{" in path else ("",):
            answer = _ask(stranger, method, path, entry, id_, known)
            denied = 401 if path.startswith("/api/guests/") else 404
            if "{" in path and answer.status_code != denied:
                found.append((method, path, f"answered {answer.status_code}"))
            if any(word.encode() in body_of(answer) for word in known.words if word != id_):
                found.append((method, path, "told of another's book"))
            after = rows_of(shared_app, 1)
            if after != before:
                found.append((method, path, "changed another's book"))
            before = after
    return found


def body_of(answer: TestResponse) -> bytes:
    """Return the body of a response, decompressed if it is a ZIP."""
    if answer.mimetype != ZIP:
        return answer.data
    with zipfile.ZipFile(io.BytesIO(answer.data)) as archive:
        return b"".join(name.encode() + archive.read(name) for name in archive.namelist())


def filled_in(path: str, id_: str) -> str:
    """Return the path with this id in each place."""
    for place in ("{id_}", "{glass}", "{guest}"):
        path = path.replace(place, id_)
    return path.replace("{kind}", "bottle")


def _ask(
    stranger: FlaskClient, method: str, path: str, values: dict[str, Any], id_: str, known: Known
) -> TestResponse:
    asked = filled_in(path, id_)
    bodies = values.get("requestBody", {}).get("content", {})
    given: dict[str, Any] = {}
    if "application/json" in bodies:
        fitting = {"allow": {"code": "0000"}, "name": {"name": "a stranger's"}}
        given["json"] = fitting.get(path.rpartition("/")[2], {"ids": known.ids})
    elif ZIP in bodies:
        given = {"data": b"no zip", "content_type": ZIP}
    return stranger.open(asked, method=method.upper(), **given)
