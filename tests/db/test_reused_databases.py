"""A database that a test gives back is equal to a new one, or not used again."""

from __future__ import annotations

from collections.abc import Iterator

import psycopg
import pytest

from tests.reused_databases import ReusedDatabases

pytestmark = pytest.mark.postgres
EVERYTHING = "SELECT table_to_xml('owner', false, false, '')::text, nextval('owner_id_seq')"


@pytest.fixture
def name(empty_postgres: ReusedDatabases) -> Iterator[str]:
    """Take a database that nobody uses yet."""
    empty_postgres.free.clear()
    yield empty_postgres.take()
    empty_postgres.free.clear()


def run(databases: ReusedDatabases, name: str, statement: str) -> list[tuple[object, ...]]:
    with psycopg.connect(databases.cluster.url(name), autocommit=True) as connection:
        done = connection.execute(statement)
        return done.fetchall() if done.description else []


def test_returned_database_has_the_first_rows(empty_postgres: ReusedDatabases, name: str) -> None:
    new = run(empty_postgres, name, EVERYTHING)
    run(empty_postgres, name, "UPDATE owner SET name = 'anna'")
    run(empty_postgres, name, "INSERT INTO tally SELECT 'a', 1, 1")
    empty_postgres.give_back(name)
    assert empty_postgres.take() == name
    assert run(empty_postgres, name, EVERYTHING) == new
    assert run(empty_postgres, name, "SELECT * FROM tally") == []


@pytest.mark.parametrize(
    "statement",
    [
        "ALTER TABLE owner ADD more text",
        "CREATE INDEX more ON owner (name)",
        "DROP POLICY own_book ON record",
        "CREATE TABLE more (id int)",
    ],
)
def test_database_of_a_changed_schema_is_left(
    empty_postgres: ReusedDatabases, name: str, statement: str
) -> None:
    run(empty_postgres, name, statement)
    empty_postgres.give_back(name)
    assert empty_postgres.take() != name


def test_open_connection_is_ended(empty_postgres: ReusedDatabases, name: str) -> None:
    left_open = psycopg.connect(empty_postgres.cluster.url(name))
    left_open.execute("LOCK TABLE owner")
    empty_postgres.give_back(name)
    assert empty_postgres.take() == name
    with pytest.raises(psycopg.OperationalError):
        left_open.execute("SELECT 1")
    left_open.close()
