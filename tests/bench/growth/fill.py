"""Fills a database with owners in SQL, which is a hundred times faster than syncing them."""

from __future__ import annotations

import json
import time

import psycopg
from psycopg import sql

from tests.fast_hashing import FAST

PASSPHRASE = "seven wet stone steps"
SMALL_RECORDS = 20
LARGE_RECORDS = 10_000
# So many owners, the first ones, have notebooks of LARGE_RECORDS.
LARGE_OWNERS = 2
# A note in a few has an earlier value.
SHARE_OF_REVISIONS = 4
# Records that an owner writes together.
EVENING = 4
DAYS = 30
LARGE_TABLES = ("record", "revision", "daily_seq", "tally", "sign_in")
CLOCK = "1700000000000-0000-benchphone01"
WORDS = "blackcurrant, a little smoke, and something of the cellar it came from; " * 5
BOTTLE = {"name": "@", "producer": "Invented cellar @", "vintage": 2015, "label_abv": 13.5}
BOTTLE |= {"style": "@style", "colour": "red", "kind": "still", "country": "FR"}
TASTING = {"bottle": "@bottle", "tasted_at": "2026-05-01T20:00:00+02:00", "words": WORDS}
TASTING |= {"liking": "@liking", "sweetness": 1.5, "acidity": "@scale", "tannin": 6.5}
TASTING |= {"body": 7.0, "warmth": 5.5, "oak": 4.0, "intensity": 7.5, "finish_s": 12}
STYLES = ("red_barbera", "red_malbec_mendoza", "wht_chablis", "red_pinot_burgundy", "wht_soave")
# Records 2k - 1 and 2k are a bottle and the tasting of it. %% is the remainder of a division.
RECORDS = """
INSERT INTO record (owner_id, kind, id, seq, fields, clocks, deleted)
SELECT o.id,
  CASE n % 2 WHEN 1 THEN 'bottle' ELSE 'tasting' END,
  '018a0000-' || lpad(to_hex(o.id / 65536), 4, '0') || '-7' || lpad(to_hex(n % 4096), 3, '0')
    || '-8000-' || lpad(to_hex(o.id % 65536), 4, '0') || lpad(to_hex(n), 8, '0'),
  n,
  CASE n % 2
    WHEN 1 THEN replace(replace({bottle}, '@style', ({styles}::text[])[1 + n / 2 % {count}]),
      '@', n::text)
    ELSE replace(replace(replace({tasting}, '"@liking"', (1 + n / 2 % 9)::text),
      '"@scale"', (n % 11)::text), '@bottle',
      '018a0000-' || lpad(to_hex(o.id / 65536), 4, '0') || '-7'
      || lpad(to_hex((n - 1) % 4096), 3, '0') || '-8000-' || lpad(to_hex(o.id % 65536), 4, '0')
      || lpad(to_hex(n - 1), 8, '0')) END,
  CASE n % 2 WHEN 1 THEN {bottle_clocks} ELSE {tasting_clocks} END,
  false
FROM owner o, generate_series({first}, {last}) n
WHERE o.id <= {owners}
"""
REVISIONS = """
INSERT INTO revision (owner_id, kind, record_id, field, clock, digest, value, overruled_at)
SELECT owner_id, kind, id, 'liking', {clock}, md5(id), '3', seq FROM record
WHERE seq % {share} = 0 AND kind = 'tasting'
"""
OTHERS = (
    "INSERT INTO device SELECT id, 'benchphone' || id, '2026-11-01T00:00:00+00:00', '[]' "
    "FROM owner",
    "INSERT INTO sign_in (id, owner_id, token_hash, name, address, made_at, last_seen) "
    "SELECT md5('s' || id || '-' || n), id, encode(sha256(('t' || id || '-' || n)::bytea), 'hex'),"
    " 'phone', '192.0.2.1', 1, 1700000000 FROM owner, generate_series(1, 2) n",
    "INSERT INTO tally SELECT 'by/' || id, 120, extract(epoch FROM now())::bigint / 600 * 600 "
    "FROM owner",
)
DAILY_TALLY = (
    "INSERT INTO tally SELECT 'seq/' || id || '/' || d, 1, d * 86400 "
    "FROM owner, generate_series({last} - {days}, {last} - 1) d"
)
DAILY_TABLE = (
    "INSERT INTO daily_seq (owner_id, day, seq, at_s) SELECT id, d, 1, d * 86400 "
    "FROM owner, generate_series({last} - {days}, {last} - 1) d"
)


def fill(url: str, count: int) -> None:
    """Fill an empty database of the current schema as its superuser, and gather statistics."""
    with psycopg.connect(url, autocommit=True) as connection:
        # Foreign keys are not checked, and indexes are built at the end.
        connection.execute("SET session_replication_role = replica")
        connection.execute("SET maintenance_work_mem = '512MB'")
        dropped = _drop_keys(connection)
        _add_owners(connection, count)
        literals = {
            "bottle": json.dumps(BOTTLE),
            "tasting": json.dumps(TASTING),
            "bottle_clocks": json.dumps(dict.fromkeys(BOTTLE, CLOCK)),
            "tasting_clocks": json.dumps(dict.fromkeys(TASTING, CLOCK)),
            "styles": [*STYLES],
            "count": len(STYLES),
        }
        # Owners write at the same time, so the rows of one lie far apart.
        parts = [(n, n + EVENING - 1, count) for n in range(1, SMALL_RECORDS, EVENING)]
        parts.append((SMALL_RECORDS + 1, LARGE_RECORDS, LARGE_OWNERS))
        for part in parts:
            values = literals | dict(zip(("first", "last", "owners"), part, strict=True))
            given = {name: sql.Literal(value) for name, value in values.items()}
            connection.execute(sql.SQL(RECORDS).format(**given))
        given = {"clock": sql.Literal(CLOCK), "share": sql.Literal(SHARE_OF_REVISIONS)}
        connection.execute(sql.SQL(REVISIONS).format(**given))
        for statement in OTHERS:
            connection.execute(statement)
        _add_days(connection)
        for statement in dropped:
            connection.execute(statement)
        connection.execute("VACUUM (ANALYZE)")


def _drop_keys(connection: psycopg.Connection) -> list[sql.Composed]:
    """Drop the keys of the large tables; return the statements that add them again."""
    query = (
        "SELECT conname, pg_get_constraintdef(oid) FROM pg_constraint"
        " WHERE conrelid = to_regclass(%s) AND contype IN ('p', 'u')"
    )
    again = []
    for table in LARGE_TABLES:
        for name, definition in connection.execute(query, [table]).fetchall():
            names = sql.Identifier(table), sql.Identifier(name)
            connection.execute(sql.SQL("ALTER TABLE {} DROP CONSTRAINT {}").format(*names))
            text = sql.SQL("ALTER TABLE {} ADD CONSTRAINT {} {}")
            again.append(text.format(*names, sql.SQL(definition)))
    return again


def _add_owners(connection: psycopg.Connection, count: int) -> None:
    columns = {"uid": "md5('u' || n)", "name": "'Owner ' || n", "passphrase": "%s"}
    columns |= {"seq": "CASE WHEN n <= %s THEN %s ELSE %s END", "max_clock_ms": "1700000000000"}
    columns |= {"made_at": "'2026-01-01'"}
    if _has(connection, "owner", "folded_name"):
        columns["folded_name"] = "'owner ' || n"
    connection.execute("DELETE FROM owner")
    connection.execute(
        f"INSERT INTO owner (id, {', '.join(columns)}) "
        f"SELECT n, {', '.join(columns.values())} FROM generate_series(1, %s) n",
        [FAST.hash(PASSPHRASE), LARGE_OWNERS, LARGE_RECORDS, SMALL_RECORDS, count],
    )


def _add_days(connection: psycopg.Connection) -> None:
    template = DAILY_TABLE if _has(connection, "daily_seq", "day") else DAILY_TALLY
    given = {"last": int(time.time()) // 86_400, "days": DAYS}
    connection.execute(template.format(**given))


def _has(connection: psycopg.Connection, table: str, column: str) -> bool:
    query = "SELECT 1 FROM information_schema.columns WHERE table_name = %s AND column_name = %s"
    return connection.execute(query, [table, column]).fetchone() is not None
