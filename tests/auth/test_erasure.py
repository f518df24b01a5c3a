"""Erasing an owner leaves no row, no photo and no readable byte, and nobody else is touched."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import func, select

from tests.auth.conftest import WORDS, add_owners, browser, enter
from tests.auth.tenant_probe import BOTTLE, CLOCKS, PHOTO, SECRET_WORDS, change, fill, push
from tests.auth.test_row_level_security import walled  # noqa: F401
from webapp.auth.owners import add_owner, set_current_owner
from webapp.db.engine import OwnerErased, db, read_transaction, write_transaction
from webapp.db.tables import erased, metadata, owner

SYNC = {"format": 1, "device": "annaphone1", "cursor": 0}


def erase(client: FlaskClient, passphrase: str = WORDS["anna"]) -> Any:
    uid = client.get("/api/me").json["owner"]["uid"]
    return client.post("/api/erase", json={"owner": uid, "passphrase": passphrase})


def rows_of(house: Flask, owner_id: int) -> dict[str, int]:
    """How many rows of each table are this owner's."""
    with house.app_context():
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


def photos_of(house: Flask, owner_id: int) -> list[Path]:
    folder = Path(house.config["PHOTO_FOLDER"], str(owner_id))
    return [path for path in folder.rglob("*") if path.is_file()]


@pytest.fixture(params=["plain", pytest.param("walled", marks=pytest.mark.postgres)])
def filled(request: pytest.FixtureRequest) -> Flask:
    """Two owners, each with a book and a photo; behind the second wall too."""
    if request.param == "walled":
        app: Flask = request.getfixturevalue("walled")
    else:
        app = request.getfixturevalue("app")
        add_owners(app)
    for name in WORDS:
        fill(enter(app, name))
    return app


def test_erasing_leaves_no_row_and_no_photo(filled: Flask) -> None:
    anna, bruno = enter(filled, "anna"), enter(filled, "bruno")
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


def test_other_devices_are_told_of_the_erasure(house: Flask) -> None:
    here, there = enter(house, "anna"), enter(house, "anna")
    assert erase(here).status_code == 200
    for answer in (there.get("/api/me"), there.post("/api/sync", json=SYNC)):
        assert (answer.status_code, answer.json["code"]) == (401, "erased")
    told = {"name": "anna", "passphrase": WORDS["anna"]}
    assert there.post("/api/sign-in", json=told).json["code"] == "wrong"


@pytest.mark.parametrize(
    ("uid", "passphrase", "status"),
    [(None, "not the right words", 401), (None, "", 401), ("0" * 20, WORDS["anna"], 409)],
)
def test_nothing_is_erased_by_mistake(
    house: Flask, uid: str | None, passphrase: str, status: int
) -> None:
    anna = enter(house, "anna")
    fill(anna)
    before = rows_of(house, 1)
    told = {"owner": uid or anna.get("/api/me").json["owner"]["uid"], "passphrase": passphrase}
    assert anna.post("/api/erase", json=told).status_code == status
    assert rows_of(house, 1) == before
    assert len(photos_of(house, 1)) == 1


def test_the_last_owner_leaves_a_new_nameless_one(any_app: Flask) -> None:
    here = browser(any_app)
    fill(here)
    old = here.get("/api/me").json["owner"]
    assert erase(here, "").json == {"done": True}
    new = here.get("/api/me").json["owner"]
    assert (new["name"], push(here)["changes"]) == ("me", [])
    assert new["uid"] != old["uid"]
    # Another browser at the machine still holds the erased book: it does not fill the new one.
    answer = here.post("/api/sync", json=SYNC, headers={"Second-Nose-Owner": old["uid"]})
    assert (answer.status_code, answer.json["code"]) == (401, "erased")


def test_an_erased_number_is_given_to_nobody(house: Flask) -> None:
    assert erase(enter(house, "bruno"), WORDS["bruno"]).status_code == 200
    with house.app_context(), write_transaction() as connection:
        assert add_owner(connection, "carla", "six late paper moons") == 3


def test_a_write_after_the_erasure_leaves_nothing(house: Flask) -> None:
    assert erase(enter(house, "anna")).status_code == 200
    with house.app_context():
        set_current_owner(1)
        with pytest.raises(OwnerErased), write_transaction():
            pytest.fail("The book of nobody was written to.")


def test_no_erased_word_is_readable_in_the_file(small_house: Flask) -> None:
    anna = enter(small_house, "anna")
    fill(anna)
    push(anna, change("bottle", BOTTLE, CLOCKS[1], notes="x" * 9_000 + SECRET_WORDS))
    file = Path(small_house.config["DATABASE_URL"].removeprefix("sqlite:///"))
    assert erase(anna).status_code == 200
    with small_house.app_context():
        db.engine.dispose()
    content = b"".join(path.read_bytes() for path in file.parent.glob("book.sqlite*"))
    assert SECRET_WORDS.encode() not in content


def test_what_remains_names_nobody(small_house: Flask) -> None:
    anna = enter(small_house, "anna")
    uid = anna.get("/api/me").json["owner"]["uid"]
    assert erase(anna).status_code == 200
    with small_house.app_context(), read_transaction() as connection:
        kept = repr([tuple(row) for row in connection.execute(select(erased))])
    assert "anna" not in kept
    assert uid not in kept
    assert "owner/1" in kept
