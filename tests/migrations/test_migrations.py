"""The schema migrations, on both databases."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from flask import Flask
from sqlalchemy import MetaData, Table, inspect, select, text

from tests.conftest import AppMaker, dispose
from tests.temporary_postgres import Cluster
from webapp import create_app, migrations
from webapp.db import tables
from webapp.db.engine import db
from webapp.errors import StartupError


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgres)])
def blank_app(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Flask]:
    """Yield an app whose database has no tables."""
    url = f"sqlite:///{tmp_path / 'book.sqlite'}"
    if request.param == "postgresql":
        cluster: Cluster = request.getfixturevalue("cluster")
        url = cluster.url(cluster.new_database())
    app = create_app({"DATABASE_URL": url, "CHECK_DATABASE": False})
    with app.app_context():
        yield app
    dispose(app)


def test_migrations_create_the_declared_tables(blank_app: Flask) -> None:
    migrations.upgrade(db.engine)
    with db.engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, tables.metadata) == []


def test_new_database_has_an_epoch_and_one_owner(blank_app: Flask) -> None:
    migrations.upgrade(db.engine)
    with db.engine.connect() as connection:
        assert len(connection.scalars(select(tables.safe.c.epoch)).one()) == 32
        assert connection.scalars(select(tables.owner.c.seq)).all() == [0]


def test_upgrading_again_changes_nothing(blank_app: Flask) -> None:
    migrations.upgrade(db.engine)
    with db.engine.connect() as connection:
        before = connection.execute(select(tables.safe)).all()
    migrations.upgrade(db.engine)
    with db.engine.connect() as connection:
        assert connection.execute(select(tables.safe)).all() == before


def test_migrations_can_be_reverted(blank_app: Flask) -> None:
    migrations.upgrade(db.engine)
    migrations.downgrade(db.engine, "base")
    assert inspect(db.engine).get_table_names() == ["alembic_version"]
    assert migrations.state(db.engine) == "empty"


OWNED = {"owner_id": 1}
TASTING = "0192f0c1-2a3b-7c4d-8e5f-60718293a4b5"
CLOCK = "1690000000000-0000-aaaaaaaa"
# A notebook as the first release stored it.
FILLED: dict[str, list[dict[str, Any]]] = {
    "safe": [{"id": 1, "epoch": "e" * 32, "made_at": "2024-01-01"}],
    "owner": [{"id": 1, "name": "me", "seq": 3, "max_clock_ms": 5, "made_at": "2024-01-01"}],
    "device": [OWNED | {"id": "aaaaaaaa", "last_seen": "2024-01-01", "tokens": "[]"}],
    "record": [
        OWNED
        | {"kind": "tasting", "id": TASTING[:-1] + str(n), "seq": n, "deleted": n == 3}
        | {"fields": json.dumps({"words": f"\u00fc {n}", "moon": [n]}, ensure_ascii=False)}
        | {"clocks": json.dumps({"words": CLOCK, "moon": CLOCK})}
        | {"deleted_clock": CLOCK if n == 3 else None}
        for n in (1, 2, 3)
    ],
    "revision": [
        OWNED
        | {"kind": "tasting", "record_id": TASTING[:-1] + "1", "field": "words", "clock": CLOCK}
        | {"digest": "d" * 32, "value": '"earlier"', "overruled_at": 2}
    ],
    "photo_bytes": [
        OWNED
        | {"id": TASTING, "sha256": "0" * 64, "media_type": "image/jpeg", "width_px": 3}
        | {"height_px": 2, "bytes": 9, "kept_at": "2024-01-01"}
    ],
}


def fill() -> None:
    with db.engine.execution_options(writes=True).begin() as connection:
        for name, rows in FILLED.items():
            reflected = Table(name, MetaData(), autoload_with=connection)
            connection.execute(reflected.insert(), rows)


def first_release_rows() -> dict[str, list[dict[str, Any]]]:
    """Return the rows, reduced to the columns of the first release."""
    found = {}
    with db.engine.connect() as connection:
        for name, rows in FILLED.items():
            reflected = Table(name, MetaData(), autoload_with=connection)
            columns = [reflected.c[column] for column in rows[0]]
            key = reflected.c["record_id" if name == "revision" else "id"]
            found[name] = [
                {**row} for row in connection.execute(select(*columns).order_by(key)).mappings()
            ]
    return found


def steps() -> list[str]:
    """Return all revisions after the first, in order."""
    folder = Path(migrations.__file__).parent / "versions"
    return sorted(file.name[:4] for file in folder.glob("0*.py"))[1:]


def test_migrations_up_and_down_keep_all_data(blank_app: Flask) -> None:
    migrations.upgrade(db.engine, "0001")
    fill()
    before = first_release_rows()
    for step in steps():
        migrations.upgrade(db.engine, step)
        assert first_release_rows() == before
    for step in reversed(["0001", *steps()[:-1]]):
        migrations.downgrade(db.engine, step)
        assert first_release_rows() == before
    migrations.upgrade(db.engine)
    assert first_release_rows() == before


def test_phones_sync_after_migrating_the_first_release(blank_app: Flask) -> None:
    migrations.upgrade(db.engine, "0001")
    fill()
    migrations.upgrade(db.engine)
    body = {"format": 1, "device": "bbbbbbbb", "cursor": 0}
    pulled = blank_app.test_client().post("/api/sync", json=body).json
    assert pulled["epoch"] == "e" * 32
    assert [one["fields"]["words"] for one in pulled["changes"]] == [
        "\u00fc 1",
        "\u00fc 2",
        "\u00fc 3",
    ]
    path = f"/api/records/tasting/{TASTING[:-1]}1/revisions"
    assert blank_app.test_client().get(path).json["revisions"][0]["value"] == "earlier"


def test_third_migration_ends_sessions_without_a_key(blank_app: Flask) -> None:
    migrations.upgrade(db.engine, "0002")
    row = {"id": "a" * 32, "owner_id": 1, "token_hash": "b" * 64, "name": "phone", "address": ""}
    with db.engine.execution_options(writes=True).begin() as connection:
        first = {"id": 1, "uid": "u", "name": "me", "seq": 0, "max_clock_ms": 0}
        owners = Table("owner", MetaData(), autoload_with=connection)
        connection.execute(owners.insert(), {**first, "made_at": "now"})
        reflected = Table("sign_in", MetaData(), autoload_with=connection)
        connection.execute(reflected.insert(), {**row, "made_at": 5, "last_seen": 7})
        offers = Table("pairing", MetaData(), autoload_with=connection)
        offer = {"id": "c", "owner_id": 1, "secret_hash": "d", "until": 2**40, "allowed": True}
        connection.execute(offers.insert(), offer)
    migrations.upgrade(db.engine)
    with db.engine.connect() as connection:
        (found,) = connection.execute(select(tables.sign_in)).all()
        assert (found.ended_at, found.ended_as, found.key_hash) == (7, "upgrade", None)
        assert connection.execute(select(tables.pairing)).all() == []
    migrations.downgrade(db.engine, "0002")
    with db.engine.connect() as connection:
        assert "key_hash" not in {c["name"] for c in inspect(connection).get_columns("sign_in")}


def test_empty_database_needs_an_upgrade(blank_app: Flask) -> None:
    assert migrations.state(db.engine) == "empty"
    with pytest.raises(StartupError, match="secondnose db upgrade"):
        create_app({"DATABASE_URL": blank_app.config["DATABASE_URL"]})


def test_database_of_a_newer_version_is_rejected(any_app: Flask) -> None:
    with any_app.app_context(), db.engine.begin() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    with pytest.raises(StartupError, match="newer version"):
        create_app({"DATABASE_URL": any_app.config["DATABASE_URL"], "UPGRADE": True})


def test_an_older_database_is_upgraded_only_when_asked(
    make_app: AppMaker, blank_app: Flask
) -> None:
    url = blank_app.config["DATABASE_URL"]
    upgraded = create_app({"DATABASE_URL": url, "UPGRADE": True})
    dispose(upgraded)
    assert migrations.state(db.engine) == "current"
