"""Databases with an empty schema that tests use one after the other.

Copying a template takes 0.15 s of processor time, because a database is three hundred files.
Deleting a test's rows takes a tenth of that.
"""

from __future__ import annotations

import psycopg
from psycopg import sql

from tests.temporary_postgres import Cluster

# What a test may have changed besides rows: columns, indexes, constraints, triggers and policies.
SCHEMA = """
SELECT md5(string_agg(part, ';' ORDER BY part)) FROM (
  SELECT format('%s %s %s %s', attrelid::regclass, attname, atttypid, attnotnull) AS part
    FROM pg_attribute JOIN pg_class ON pg_class.oid = attrelid
    WHERE relnamespace = 'public'::regnamespace AND attnum > 0
  UNION ALL SELECT pg_get_indexdef(indexrelid) FROM pg_index
    JOIN pg_class ON pg_class.oid = indexrelid WHERE relnamespace = 'public'::regnamespace
  UNION ALL SELECT conname || pg_get_constraintdef(oid) FROM pg_constraint
    WHERE connamespace = 'public'::regnamespace
  UNION ALL SELECT pg_get_triggerdef(oid) FROM pg_trigger WHERE NOT tgisinternal
  UNION ALL SELECT format('%s %s', polname, polrelid::regclass) FROM pg_policy
  UNION ALL SELECT proname || prosrc FROM pg_proc WHERE pronamespace = 'public'::regnamespace
  UNION ALL SELECT format('%s %s %s', relname, relrowsecurity, relforcerowsecurity) FROM pg_class
    WHERE relnamespace = 'public'::regnamespace
  UNION ALL SELECT nspname FROM pg_namespace WHERE nspname !~ '^pg_'
) AS parts"""
TABLES = """
SELECT relname FROM pg_class WHERE relkind IN ('r', 'p') AND NOT relispartition
  AND relnamespace = 'public'::regnamespace"""
SEQUENCES = """
SELECT format('%I', sequencename), coalesce(last_value, start_value), last_value IS NOT NULL
  FROM pg_sequences"""
# Deleted rows stay on the disk, where they would slow down later tests.
MANY = 2_000
END_OTHERS = """
SELECT pg_terminate_backend(pid, 60000) FROM pg_stat_activity
  WHERE datname = current_database() AND pid <> pg_backend_pid()"""


class ReusedDatabases:
    """Copies of one template in one cluster; each test gets one that is equal to the template."""

    def __init__(self, cluster: Cluster, template: str) -> None:
        self.cluster = cluster
        self.template = template
        self.free: list[str] = []
        with self._connect(template) as connection:
            self.schema = connection.execute(SCHEMA).fetchone()
            self.tables = [name for (name,) in connection.execute(TABLES)]
            self.sequences = connection.execute(SEQUENCES).fetchall()
            self.rows = {name: found for name in self.tables if (found := rows(connection, name))}

    def take(self) -> str:
        """Return the name of a database that is equal to the template."""
        return self.free.pop() if self.free else self.cluster.new_database(self.template)

    def give_back(self, name: str) -> None:
        """Restore the template's rows, unless the schema has changed or there were many rows."""
        with self._connect(name) as connection:
            connection.execute(END_OTHERS)
            if connection.execute(SCHEMA).fetchone() != self.schema:
                return
            with connection.transaction():
                # Foreign keys then need no order of the tables.
                connection.execute("SET LOCAL session_replication_role = replica")
                deleted = sum(delete_rows(connection, table) for table in self.tables)
                for table, text in self.rows.items():
                    copy = sql.SQL("COPY {} FROM STDIN").format(sql.Identifier(table))
                    with connection.cursor().copy(copy) as into:
                        into.write(text)
                for sequence in self.sequences:
                    connection.execute("SELECT setval(%s, %s, %s)", sequence)
        if deleted < MANY:
            self.free.append(name)

    def _connect(self, name: str) -> psycopg.Connection:
        return psycopg.connect(self.cluster.url(name), autocommit=True)


def delete_rows(connection: psycopg.Connection, table: str) -> int:
    """Delete all rows of a table and return how many they were."""
    return connection.execute(sql.SQL("DELETE FROM {}").format(sql.Identifier(table))).rowcount


def rows(connection: psycopg.Connection, table: str) -> bytes:
    """Return all rows of a table in PostgreSQL's text format."""
    copy = sql.SQL("COPY {} TO STDOUT").format(sql.Identifier(table))
    with connection.cursor().copy(copy) as out:
        return b"".join(bytes(part) for part in out)
