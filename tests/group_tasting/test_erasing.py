"""Erasing a notebook, removing its owner and restoring a backup cover led tastings as well."""

from __future__ import annotations

import pytest
from click.testing import CliRunner
from flask import Flask
from sqlalchemy import func, select

from tests.auth.conftest import WORDS, add_owners, signed_in_client
from tests.conftest import dispose
from tests.group_tasting.evening import Guest, Leader
from webapp import create_app
from webapp.cli import main
from webapp.db.engine import read_transaction
from webapp.db.tables import group_guest_token, group_invitation, group_invitation_secret

TABLES = (group_invitation, group_invitation_secret, group_guest_token)


def rows(app: Flask, owner_id: int) -> int:
    """Count an owner's invitations, secrets and tokens."""
    with app.app_context(), read_transaction() as connection:
        counts = [
            connection.scalar(select(func.count()).where(table.c.owner_id == owner_id))
            for table in TABLES
        ]
    return sum(count or 0 for count in counts)


def test_erasing_a_notebook_ends_its_tables(table_app: Flask, leader: Leader, guest: Guest) -> None:
    bruno = Leader(signed_in_client(table_app, "bruno"))
    bruno.set_table([{"name": "Elsewhere"}])
    bruno.invite()
    secret = leader.invite()["secret"]
    assert rows(table_app, 1) == 3
    uid = leader.client.get("/api/me").json["owner"]["uid"]
    body = {"owner": uid, "passphrase": WORDS["anna"]}
    assert leader.client.post("/api/erase", json=body).status_code == 200
    assert (rows(table_app, 1), rows(table_app, 2)) == (0, 2)
    assert guest.poll().json["code"] == "guest_ended"
    assert guest.put(leader.glasses[0], liking=3).json["code"] == "guest_ended"
    assert guest.try_join(secret=secret).json["code"] == "no_such_table"


def test_removed_owner_leaves_no_table(app: Flask, monkeypatch: pytest.MonkeyPatch) -> None:
    add_owners(app)
    anna = Leader(signed_in_client(app, "anna"))
    anna.set_table([{"name": "Zephyrhill"}])
    Guest(app.test_client()).join(secret=anna.invite()["secret"])
    assert rows(app, 1) == 3
    monkeypatch.setenv("DATABASE_URL", app.config["DATABASE_URL"])
    monkeypatch.setenv("SECONDNOSE_PHOTOS", app.config["PHOTO_FOLDER"])
    done = CliRunner().invoke(main, ["user", "remove", "anna", "--yes"])
    assert done.exit_code == 0, done.output
    assert rows(app, 1) == 0


def test_restored_server_knows_its_guests(
    app: Flask, tmp_path, monkeypatch: pytest.MonkeyPatch
) -> None:
    leader = Leader(app.test_client())
    leader.set_table([{"name": "Zephyrhill"}])
    secret = leader.invite()["secret"]
    guest = Guest(app.test_client()).join(secret=secret)
    guest.put(leader.glasses[0], liking=3)
    monkeypatch.setenv("DATABASE_URL", app.config["DATABASE_URL"])
    monkeypatch.setenv("SECONDNOSE_PHOTOS", app.config["PHOTO_FOLDER"])
    safe = str(tmp_path / "safe.zip")
    assert CliRunner().invoke(main, ["backup", safe]).exit_code == 0
    guest.put(leader.glasses[0], liking=9)
    dispose(app)
    assert CliRunner().invoke(main, ["restore", safe, "--replace"]).exit_code == 0
    again = create_app({name: app.config[name] for name in ("DATABASE_URL", "PHOTO_FOLDER")})
    guest.client = again.test_client()
    assert guest.table()["sheets"] == {leader.glasses[0]: {"liking": 3}}
    # The phone sends again what the server does not have.
    assert guest.put(leader.glasses[0], liking=9).json["stored"] == ["liking"]
    assert Guest(again.test_client()).try_join(secret=secret).status_code == 200
    dispose(again)
