"""The schema's steps, on both databases."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from flask import Flask
from sqlalchemy import inspect, select, text

from tests.conftest import AppMaker, dispose
from tests.temporary_postgres import Cluster
from webapp import create_app, migrations
from webapp.db import db, tables
from webapp.errors import StartError


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgres)])
def blank_app(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Flask]:
    """An app whose database has no table yet."""
    url = f"sqlite:///{tmp_path / 'book.sqlite'}"
    if request.param == "postgresql":
        cluster: Cluster = request.getfixturevalue("cluster")
        url = cluster.url(cluster.new_database())
    app = create_app({"DATABASE_URL": url, "CHECK_DATABASE": False})
    with app.app_context():
        yield app
    dispose(app)


def test_the_steps_make_the_tables_that_the_program_knows(blank_app: Flask) -> None:
    migrations.upgrade(db.engine)
    with db.engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, tables.metadata) == []


def test_a_new_book_has_an_epoch_and_one_owner(blank_app: Flask) -> None:
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


def test_the_steps_can_be_taken_back(blank_app: Flask) -> None:
    migrations.upgrade(db.engine)
    migrations.downgrade(db.engine, "base")
    assert inspect(db.engine).get_table_names() == ["alembic_version"]
    assert migrations.state(db.engine) == "empty"


def test_an_empty_database_is_no_book_yet(blank_app: Flask) -> None:
    assert migrations.state(db.engine) == "empty"
    with pytest.raises(StartError, match="secondnose db upgrade"):
        create_app({"DATABASE_URL": blank_app.config["DATABASE_URL"]})


def test_a_book_of_a_newer_version_is_not_opened(any_app: Flask) -> None:
    with any_app.app_context(), db.engine.begin() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    with pytest.raises(StartError, match="newer version"):
        create_app({"DATABASE_URL": any_app.config["DATABASE_URL"], "UPGRADE": True})


def test_an_older_database_is_upgraded_only_when_asked(
    make_app: AppMaker, blank_app: Flask
) -> None:
    url = blank_app.config["DATABASE_URL"]
    upgraded = create_app({"DATABASE_URL": url, "UPGRADE": True})
    dispose(upgraded)
    assert migrations.state(db.engine) == "current"
