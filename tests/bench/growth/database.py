"""Databases of the bench: sizes, query plans, the cost of vacuum, and partitioned tables."""

from __future__ import annotations

import json
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import psycopg
from flask import Flask
from psycopg import sql
from sqlalchemy import event

from webapp.db.engine import db

TABLES = ("record", "revision", "owner", "sign_in", "device", "tally", "daily_seq")
# A table below this size is read as a whole, which is fastest.
SMALL_TABLE = 1_000
PARTITIONED = ("record", "revision")
# The share of records that are changed before a vacuum; autovacuum waits for a fifth.
CHANGED_SHARE = 0.02


def sizes(url: str) -> Iterator[tuple[str, int, int, int]]:
    """Yield (table, rows, bytes of the table, bytes of its indexes)."""
    with psycopg.connect(url, autocommit=True) as connection:
        for name in TABLES:
            if connection.execute("SELECT to_regclass(%s)", [name]).fetchone() == (None,):
                continue
            tree = sql.SQL(
                "SELECT sum(pg_table_size(relid))::bigint, sum(pg_indexes_size(relid))::bigint,"
                " (SELECT count(*) FROM {}) FROM pg_partition_tree({})"
            )
            query = tree.format(sql.Identifier(name), sql.Literal(name))
            if not connection.execute("SELECT 1 FROM pg_partition_tree(%s)", [name]).fetchone():
                query = sql.SQL(
                    "SELECT pg_table_size({0}), pg_indexes_size({0}), (SELECT count(*) FROM {1})"
                ).format(sql.Literal(name), sql.Identifier(name))
            [(table, indexes, rows)] = connection.execute(query).fetchall()
            yield name, int(rows), int(table), int(indexes)


def vacuum_s(url: str) -> tuple[int, float]:
    """Change some records in one transaction; return how many, and the seconds of the vacuum."""
    with psycopg.connect(url, autocommit=True) as connection:
        share = int(1 / CHANGED_SHARE)
        change = "UPDATE record SET fields = fields || ' ' WHERE (seq + owner_id) %% %s = 0"
        changed = connection.execute(change, [share]).rowcount
        started = time.perf_counter()
        connection.execute("VACUUM record")
        return changed, time.perf_counter() - started


@contextmanager
def recorded_statements(app: Flask) -> Iterator[dict[str, Any]]:
    """Collect each statement that the app executes, with the parameters of its last execution."""
    found: dict[str, Any] = {}
    with app.app_context():
        engine = db.engine

    def note(_c: Any, _cursor: Any, statement: str, values: Any, _x: Any, many: bool) -> None:
        found[statement] = values[0] if many and values else values

    event.listen(engine, "before_cursor_execute", note)
    try:
        yield found
    finally:
        event.remove(engine, "before_cursor_execute", note)


def whole_reads(url: str, statements: dict[str, Any], owner: int) -> Iterator[tuple[str, str]]:
    """Yield (table, statement) where a large table is read as a whole."""
    with psycopg.connect(url) as connection:
        connection.execute("SELECT set_config('secondnose.owner', %s, false)", [str(owner)])
        for statement, values in statements.items():
            if statement.split(maxsplit=1)[0] not in ("SELECT", "UPDATE", "DELETE", "WITH"):
                continue
            [[plan]] = connection.execute(f"EXPLAIN (FORMAT JSON) {statement}", values).fetchall()
            found = plan if isinstance(plan, list) else json.loads(plan)
            for table in _sequential(found[0]["Plan"]):
                query = "SELECT reltuples FROM pg_class WHERE oid = to_regclass(%s)"
                [[rows]] = connection.execute(query, [table]).fetchall()
                if rows > SMALL_TABLE and "LIMIT" not in statement:
                    yield table, " ".join(statement.split())
        connection.rollback()


def _sequential(plan: dict[str, Any]) -> Iterator[str]:
    if plan["Node Type"] == "Seq Scan":
        yield plan["Relation Name"]
    # The nodes below an index-only scan's alternative are in "Plans" too.
    for one in plan.get("Plans", ()):
        yield from _sequential(one)


def partition(url: str, parts: int) -> None:
    """Replace the empty tables of records and revisions by ones partitioned by owner."""
    with psycopg.connect(url) as connection:
        for name in PARTITIONED:
            _partition(connection, name, parts)


def _partition(connection: psycopg.Connection, name: str, parts: int) -> None:
    policies = connection.execute(
        "SELECT policyname, permissive, qual, with_check FROM pg_policies WHERE tablename = %s",
        [name],
    ).fetchall()
    indexes = connection.execute(
        "SELECT pg_get_constraintdef(oid) FROM pg_constraint WHERE conrelid = %s::regclass",
        [name],
    ).fetchall()
    table, plain = sql.Identifier(name), sql.Identifier(f"{name}_plain")
    owner = connection.execute(
        "SELECT pg_get_userbyid(relowner) FROM pg_class WHERE oid = %s::regclass", [name]
    ).fetchone()
    connection.execute(sql.SQL("ALTER TABLE {} RENAME TO {}").format(table, plain))
    made = "CREATE TABLE {} (LIKE {} INCLUDING DEFAULTS) PARTITION BY HASH (owner_id)"
    connection.execute(sql.SQL(made).format(table, plain))
    for [definition] in indexes:
        connection.execute(sql.SQL("ALTER TABLE {} ADD {}").format(table, sql.SQL(definition)))
    for number in range(parts):
        part = "CREATE TABLE {} PARTITION OF {} FOR VALUES WITH (MODULUS {}, REMAINDER {})"
        named = sql.Identifier(f"{name}_{number}")
        connection.execute(sql.SQL(part).format(named, table, parts, number))
    connection.execute(sql.SQL("DROP TABLE {}").format(plain))
    for clause in ("ENABLE", "FORCE"):
        connection.execute(sql.SQL(f"ALTER TABLE {{}} {clause} ROW LEVEL SECURITY").format(table))
    for policy, permissive, qual, check in policies:
        text = "CREATE POLICY {} ON {} AS {} USING ({}) WITH CHECK ({})"
        parts_of = (sql.Identifier(policy), table, *map(sql.SQL, (permissive, qual, check)))
        connection.execute(sql.SQL(text).format(*parts_of))
    assert owner is not None
    connection.execute(
        sql.SQL("ALTER TABLE {} OWNER TO {}").format(table, sql.Identifier(owner[0]))
    )
