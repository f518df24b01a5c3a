"""Erasing an owner removes every row, photo and byte of theirs and affects no other owner."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import func, select

from tests.auth.conftest import WORDS, add_owners, browser, signed_in_client
from tests.auth.tenant_probe import BOTTLE, CLOCKS, PHOTO, SECRET_WORDS, change, fill, push
from tests.auth.test_row_level_security import walled  # noqa: F401
from webapp.auth.owners import add_owner, set_current_owner
from webapp.db.engine import OwnerErased, read_transaction, write_transaction
from webapp.db.tables import erased, metadata, owner
from webapp.retention.schedule import purge_due

SYNC = {"format": 1, "device": "annaphone1", "cursor": 0}


def erase(client: FlaskClient, passphrase: str = WORDS["anna"]) -> Any:
    uid = client.get("/api/me").json["owner"]["uid"]
    return client.post("/api/erase", json={"owner": uid, "passphrase": passphrase})


def rows_of(shared_app: Flask, owner_id: int) -> dict[str, int]:
    """Return the number of this owner's rows in each table."""
    with shared_app.app_context():
        set_current_owner(owner_id)
        with read_transaction() as connection:
            return {
                table.name: found
                for table in metadata.sorted_tables
                if "owner_id" in table.c
                and (
                    found := connection.scalar(
                        select(func.count()).select_from(table).where(table.c.owner_id == owner_id)
                    )
                )
            }


def photos_of(shared_app: Flask, owner_id: int) -> list[Path]:
    folder = Path(shared_app.config["PHOTO_FOLDER"], str(owner_id))
    return [path for path in folder.rglob("*") if path.is_file()]


@pytest.fixture(params=["plain", pytest.param("walled", marks=pytest.mark.postgres)])
def filled(request: pytest.FixtureRequest) -> Flask:
    """Return two owners, each with a notebook and a photo, also with row-level security."""
    if request.param == "walled":
        app: Flask = request.getfixturevalue("walled")
    else:
        app = request.getfixturevalue("app")
        add_owners(app)
    for name in WORDS:
        fill(signed_in_client(app, name))
    return app


def test_erasing_an_owner_leaves_no_row_and_no_photo(filled: Flask) -> None:
    anna, bruno = signed_in_client(filled, "anna"), signed_in_client(filled, "bruno")
    before = rows_of(filled, 2), photos_of(filled, 2)
    assert set(rows_of(filled, 1)) >= {"record", "revision", "photo_bytes", "device", "sign_in"}
    assert len(photos_of(filled, 1)) == 1
    answer = erase(anna)
    assert answer.json == {"done": True}
    assert rows_of(filled, 1) == {}
    assert photos_of(filled, 1) == []
    assert (rows_of(filled, 2), photos_of(filled, 2)) == before
    assert bruno.get(f"/api/photos/{PHOTO}").status_code == 200
    assert push(bruno)["changes"]
    with filled.app_context(), read_transaction() as connection:
        assert connection.scalars(select(owner.c.name)).all() == ["bruno"]


def test_other_devices_are_told_of_the_erasure(shared_app: Flask) -> None:
    here, there = signed_in_client(shared_app, "anna"), signed_in_client(shared_app, "anna")
    assert erase(here).status_code == 200
    for answer in (there.get("/api/me"), there.post("/api/sync", json=SYNC)):
        assert (answer.status_code, answer.json["code"]) == (401, "erased")
    body = {"name": "anna", "passphrase": WORDS["anna"]}
    assert there.post("/api/sign-in", json=body).json["code"] == "wrong"


@pytest.mark.parametrize(
    ("uid", "passphrase", "status"),
    [(None, "not the right words", 401), (None, "", 401), ("0" * 20, WORDS["anna"], 409)],
)
def test_erasure_needs_confirmation(
    shared_app: Flask, uid: str | None, passphrase: str, status: int
) -> None:
    anna = signed_in_client(shared_app, "anna")
    fill(anna)
    before = rows_of(shared_app, 1)
    body = {"owner": uid or anna.get("/api/me").json["owner"]["uid"], "passphrase": passphrase}
    assert anna.post("/api/erase", json=body).status_code == status
    assert rows_of(shared_app, 1) == before
    assert len(photos_of(shared_app, 1)) == 1


def test_erasing_the_last_owner_creates_an_unnamed_one(any_app: Flask) -> None:
    here = browser(any_app)
    fill(here)
    old = here.get("/api/me").json["owner"]
    assert erase(here, "").json == {"done": True}
    new = here.get("/api/me").json["owner"]
    assert (new["name"], push(here)["changes"]) == ("me", [])
    assert new["uid"] != old["uid"]
    # Another local browser with the erased notebook must not upload it into the new one.
    answer = here.post("/api/sync", json=SYNC, headers={"Second-Nose-Owner": old["uid"]})
    assert (answer.status_code, answer.json["code"]) == (401, "erased")


def test_erased_owner_id_is_never_reused(shared_app: Flask) -> None:
    assert erase(signed_in_client(shared_app, "bruno"), WORDS["bruno"]).status_code == 200
    with shared_app.app_context(), write_transaction() as connection:
        assert add_owner(connection, "carla", "six late paper moons") == 3


def test_new_owner_of_an_erased_name_gets_no_old_notes(shared_app: Flask) -> None:
    anna = signed_in_client(shared_app, "anna")
    was = anna.get("/api/me").json["owner"]["uid"]
    assert erase(anna).json == {"done": True}
    with shared_app.app_context(), write_transaction() as connection:
        add_owner(connection, "anna", WORDS["anna"])
    again = signed_in_client(shared_app, "anna")
    # A phone that has the erased notes sends them under the old id.
    answer = again.post("/api/sync", json=SYNC, headers={"Second-Nose-Owner": was})
    assert (answer.status_code, answer.json["code"]) == (409, "other_owner")


def test_write_after_the_erasure_is_dropped(shared_app: Flask) -> None:
    assert erase(signed_in_client(shared_app, "anna")).status_code == 200
    with shared_app.app_context():
        set_current_owner(1)
        with pytest.raises(OwnerErased), write_transaction():
            pytest.fail("The book of nobody was written to.")


def test_erased_text_is_not_readable_in_the_file(sqlite_app: Flask) -> None:
    anna = signed_in_client(sqlite_app, "anna")
    fill(anna)
    push(anna, change("bottle", BOTTLE, CLOCKS[1], notes="x" * 9_000 + SECRET_WORDS))
    file = Path(sqlite_app.config["DATABASE_URL"].removeprefix("sqlite:///"))
    assert erase(anna).status_code == 200
    # The server goes on, so the log stays.
    assert {path.name for path in file.parent.glob("book.sqlite-*")} >= {"book.sqlite-wal"}
    content = b"".join(path.read_bytes() for path in file.parent.glob("book.sqlite*"))
    assert SECRET_WORDS.encode() not in content


def test_long_reader_keeps_the_log_for_an_hour(sqlite_app: Flask) -> None:
    anna = signed_in_client(sqlite_app, "anna")
    fill(anna)
    log = Path(sqlite_app.config["DATABASE_URL"].removeprefix("sqlite:///") + "-wal")
    with sqlite_app.app_context(), read_transaction() as connection:
        assert connection.scalars(select(owner.c.name)).all() == ["anna", "bruno"]
        assert erase(anna).status_code == 200
        assert SECRET_WORDS.encode() in log.read_bytes()
    purge_due(sqlite_app, lambda _: None)
    assert log.read_bytes() == b""


def test_logs_after_an_erasure_name_no_owner(sqlite_app: Flask) -> None:
    anna = signed_in_client(sqlite_app, "anna")
    uid = anna.get("/api/me").json["owner"]["uid"]
    assert erase(anna).status_code == 200
    with sqlite_app.app_context(), read_transaction() as connection:
        kept = repr([tuple(row) for row in connection.execute(select(erased))])
    assert "anna" not in kept
    assert uid not in kept
    assert "owner/1" in kept
