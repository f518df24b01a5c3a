"""PostgreSQL row-level security isolates owners, even for a query without an owner."""

from __future__ import annotations

import subprocess
from collections.abc import Iterator
from pathlib import Path

import psycopg
import pytest
from flask import Flask
from psycopg import sql
from sqlalchemy import func, insert, select, update
from sqlalchemy.exc import ProgrammingError

from tests.auth.conftest import add_owners, signed_in_client
from tests.auth.tenant_probe import BOTTLE, CLOCKS, change, push
from tests.conftest import AppMaker, dispose
from tests.postgres import find_binaries
from tests.temporary_postgres import Cluster
from webapp import create_app
from webapp.auth.owners import set_current_owner
from webapp.db.engine import read_transaction, write_transaction
from webapp.db.row_level_security import is_enforced, warn_if_bypassed
from webapp.db.tables import device, palate_document, photo_bytes, record, revision

pytestmark = pytest.mark.postgres
BOOKS = (record, revision, device, photo_bytes, palate_document)
ROLE = "plain_book"


@pytest.fixture
def walled(cluster: Cluster, tmp_path) -> Iterator[Flask]:
    """Yield a server with an ordinary database role, because superusers bypass the policies."""
    name = cluster.new_database()
    with psycopg.connect(cluster.url("postgres"), autocommit=True) as connection:
        if not connection.execute("SELECT 1 FROM pg_roles WHERE rolname = %s", [ROLE]).fetchone():
            connection.execute(sql.SQL("CREATE ROLE {} LOGIN").format(sql.Identifier(ROLE)))
        owned = sql.SQL("ALTER DATABASE {} OWNER TO {}")
        connection.execute(owned.format(sql.Identifier(name), sql.Identifier(ROLE)))
    url = cluster.url(name).replace("book@", f"{ROLE}@")
    app = create_app({"DATABASE_URL": url, "UPGRADE": True, "PHOTO_FOLDER": str(tmp_path)})
    add_owners(app)
    yield app
    dispose(app)


@pytest.fixture
def filled(walled: Flask) -> Flask:
    for name in ("anna", "bruno"):
        client = signed_in_client(walled, name)
        push(client, change("bottle", BOTTLE, CLOCKS[0], name="earlier"))
        push(client, change("bottle", BOTTLE, CLOCKS[1], name=f"{name}'s"))
        assert client.get("/api/palate").status_code == 200
    return walled


def test_rls_limits_an_unscoped_query_to_the_owner(filled: Flask) -> None:
    with filled.app_context():
        set_current_owner(1)
        with read_transaction() as connection:
            for table in (record, revision, device, palate_document):
                assert set(connection.scalars(select(table.c.owner_id))) == {1}


def test_rls_without_an_owner_hides_and_rejects_all_rows(filled: Flask) -> None:
    with filled.app_context():
        with read_transaction() as connection:
            for table in BOOKS:
                assert connection.scalar(select(func.count()).select_from(table)) == 0
        row = {"owner_id": 1, "id": "stranger1", "last_seen": "", "tokens": "[]"}
        with (
            pytest.raises(ProgrammingError, match="row-level security"),
            write_transaction() as connection,
        ):
            connection.execute(insert(device), row)


def test_rls_rejects_updates_to_rows_of_another_owner(filled: Flask) -> None:
    with filled.app_context():
        set_current_owner(1)
        with write_transaction() as connection:
            theirs = update(record).where(record.c.owner_id == 2).values(fields="{}")
            assert connection.execute(theirs).rowcount == 0
        with (
            pytest.raises(ProgrammingError, match="row-level security"),
            write_transaction() as connection,
        ):
            connection.execute(update(record).values(owner_id=2))


def test_rls_owner_is_reset_between_requests(
    filled: Flask,
) -> None:
    with filled.app_context():
        set_current_owner(2)
        with read_transaction() as connection:
            assert connection.scalar(select(func.count()).select_from(record)) == 1
    with filled.app_context(), read_transaction() as connection:
        assert connection.scalar(select(func.count()).select_from(record)) == 0


def test_rls_state_depends_on_the_role(
    walled: Flask, make_app: AppMaker, monkeypatch: pytest.MonkeyPatch, caplog
) -> None:
    assert is_enforced(walled)
    assert is_enforced(make_app())
    superuser = make_app("postgresql")
    assert not is_enforced(superuser)
    warn_if_bypassed(superuser)
    assert "row_level_security_bypassed" in caplog.text


def test_rls_dump_by_a_superuser_restores_every_owner(
    filled: Flask, cluster: Cluster, tmp_path: Path
) -> None:
    url = filled.config["DATABASE_URL"].replace("postgresql+psycopg", "postgresql")
    dump = tmp_path / "book.dump"
    program = find_binaries() / "pg_dump"
    plain = subprocess.run([program, "-Fc", "-f", dump, url], capture_output=True, check=False)
    assert b"row-level security" in plain.stderr
    seeing = url.replace(f"{ROLE}@", "book@")
    subprocess.run([program, "-Fc", "-f", dump, seeing], check=True)
    name = cluster.new_database()
    back = cluster.url(name)
    subprocess.run([find_binaries() / "pg_restore", "-d", back, dump], check=True)
    with psycopg.connect(back) as connection:
        rows = connection.execute("SELECT owner_id FROM record ORDER BY owner_id").fetchall()
    assert rows == [(1,), (2,)]
    restored = create_app({"DATABASE_URL": back.replace("book@", f"{ROLE}@")})
    with restored.app_context():
        set_current_owner(1)
        with read_transaction() as connection:
            assert set(connection.scalars(select(record.c.owner_id))) == {1}
    dispose(restored)


def test_rls_permits_the_whole_api(filled: Flask) -> None:
    anna = signed_in_client(filled, "anna")
    assert [one["fields"]["name"] for one in push(anna)["changes"]] == ["anna's"]
    assert anna.get(f"/api/records/bottle/{BOTTLE}/revisions").json["revisions"]
    assert anna.get("/api/palate").status_code == 200
    book = anna.get("/api/export").data
    taken = signed_in_client(filled, "bruno").post(
        "/api/import", data=book, content_type="application/zip"
    )
    assert taken.status_code == 200


def test_rls_hides_the_people_of_another_owner(walled: Flask) -> None:
    people = {"anna": BOTTLE[:-1] + "c", "bruno": BOTTLE[:-1] + "d"}
    clients = {name: signed_in_client(walled, name) for name in people}
    for name, id_ in people.items():
        agreed = {"name": f"{name}'s friend", "agreed_at": "2026-11-01T20:00:00Z"}
        push(clients[name], change("person", id_, CLOCKS[0], **agreed))
    for name, other in (("anna", "bruno"), ("bruno", "anna")):
        assert clients[name].get(f"/api/palate?person={people[name]}").json["n_rated"] == 0
        answer = clients[name].get(f"/api/palate?person={people[other]}")
        assert answer.status_code == 404
        assert f"{other}'s friend" not in answer.text
    with walled.app_context():
        set_current_owner(2)
        with read_transaction() as connection:
            # Without any condition on the owner.
            query = select(record.c.id).where(record.c.kind == "person")
            assert connection.scalars(query).all() == [people["bruno"]]
