"""The cost of a request as owners become more: `python -m tests.bench.growth [--owners 100 1000]`.

Each number of owners has its database on one temporary PostgreSQL server, with an ordinary role, so
that row-level security applies. Rounds take each database in turn. Times are processor time of a
whole request, of the app and of its session in the database, without HTTP; `--clock` takes the time
of the clock instead. Hashing of passphrases is at its lowest cost, because it would hide the rest.
All of it is in memory, so the figures say nothing about a disk.
"""

from __future__ import annotations

import argparse
import atexit
import random
import statistics
import tempfile
import time
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

import psycopg
from flask import Flask
from psycopg import sql

from tests.bench.growth.database import (
    partition,
    recorded_statements,
    sizes,
    vacuum_s,
    whole_reads,
)
from tests.bench.growth.fill import LARGE_OWNERS, fill
from tests.bench.growth.pooler import pooled
from tests.bench.growth.requests import Meter, Phone
from tests.fast_hashing import FAST, use
from tests.processes import end
from tests.temporary_postgres import Cluster, running_cluster
from webapp import create_app, migrations
from webapp.db.engine import db

ROLE = "ordinary"
AIM = 1.3
STEPS = {
    "sign-in": Phone.sign_in,
    "first sync of a day": Phone.first_sync,
    "sync of one note": Phone.sync_a_note,
    "empty sync": Phone.empty_sync,
    "pull of a small notebook": Phone.pull_a_page,
    "palate, learned": Phone.palate,
    "palate, unchanged": Phone.palate,
}
# Of an owner with 10,000 records.
LARGE_STEPS = {
    "sync of one note, 10,000": Phone.sync_a_note,
    "empty sync, 10,000": Phone.empty_sync,
    "pull of 1,000 of 10,000": Phone.pull_a_page,
}


@dataclass
class Size:
    """A database with so many owners, and what was measured on it."""

    label: str
    count: int
    url: str
    app: Flask
    meter: Meter
    times: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))

    def measure(self, number: int, steps: dict[str, Callable[[Phone], None]]) -> None:
        phone = Phone(self.app, number)
        if "sign-in" not in steps:
            phone.sign_in()
            phone.catch_up()
        for name, step in steps.items():
            self.times[name].append(self.meter.seconds(lambda step=step: step(phone)))


def main() -> None:
    chosen = _arguments()
    use(FAST)
    draw = random.Random(chosen.seed)
    with running_cluster() as cluster, tempfile.TemporaryDirectory() as folder:
        made = [make(cluster, Path(folder), count, 0, chosen) for count in chosen.owners]
        if chosen.partitions:
            count = chosen.owners[-1]
            made.append(make(cluster, Path(folder), count, chosen.partitions, chosen))
        for number in range(chosen.rounds + 1):
            for size in draw.sample(made, len(made)):
                size.measure(draw.randint(LARGE_OWNERS + 1, size.count), STEPS)
                size.measure(1 + number % LARGE_OWNERS, LARGE_STEPS)
            if number == 0:
                # The first round connects, compiles and plans.
                for size in made:
                    size.times.clear()
        _print_times(made)
        _print_plans(made[-1], cluster)
        for size in made:
            _print_sizes(size)


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.bench.growth", description=__doc__)
    parser.add_argument(
        "--owners", type=int, nargs="+", default=[100, 1_000, 10_000, 100_000], metavar="N"
    )
    parser.add_argument("--rounds", type=int, default=60)
    parser.add_argument("--partitions", type=int, default=0, help="the largest once more, with P")
    parser.add_argument("--pgbouncer", action="store_true", help="connect through PgBouncer")
    parser.add_argument("--clock", action="store_true", help="time of the clock, not processors")
    parser.add_argument("--seed", type=int, default=1)
    return parser.parse_args()


def make(
    cluster: Cluster, folder: Path, count: int, partitions: int, chosen: argparse.Namespace
) -> Size:
    """Create and fill a database, and return an app that uses it with an ordinary role."""
    started = time.monotonic()
    name = cluster.new_database()
    with psycopg.connect(cluster.url("postgres"), autocommit=True) as connection:
        query = "SELECT 1 FROM pg_roles WHERE rolname = %s"
        if not connection.execute(query, [ROLE]).fetchone():
            connection.execute(sql.SQL("CREATE ROLE {} LOGIN").format(sql.Identifier(ROLE)))
        owned = sql.SQL("ALTER DATABASE {} OWNER TO {}")
        connection.execute(owned.format(sql.Identifier(name), sql.Identifier(ROLE)))
    url = cluster.url(name)
    given = {"DATABASE_URL": url.replace("book@", f"{ROLE}@"), "PHOTO_FOLDER": str(folder / name)}
    plain = create_app({**given, "CHECK_DATABASE": False})
    with plain.app_context():
        migrations.upgrade(db.engine)
        db.engine.dispose()
    if partitions:
        partition(url, partitions)
    fill(url, count)
    if chosen.pgbouncer:
        settings, process = pooled(cluster, given["DATABASE_URL"], folder)
        atexit.register(end, process)
        given |= settings
    label = f"{count:,}" + (f"/{partitions}" if partitions else "")
    print(f"{label} owners made in {time.monotonic() - started:.0f} s", flush=True)
    meter = Meter(cluster, ROLE, chosen.clock)
    return Size(label, count, url, create_app(given), meter)


def _print_times(made: list[Size]) -> None:
    print(f"\n{'ms: median, 95th percentile':<28}", *(f"{one.label:>16}" for one in made))
    for name in [*STEPS, *LARGE_STEPS]:
        cells = []
        for size in made:
            times = sorted(1000 * one for one in size.times[name])
            late = times[int(0.95 * (len(times) - 1))]
            cells.append(f"{statistics.median(times):>9.1f}{late:>7.1f}")
        print(f"{name:<28}", *cells)
    print(f"\n{f'times that of {made[0].label} owners':<28}", *(f"{one.label:>16}" for one in made))
    for name in [*STEPS, *LARGE_STEPS]:
        base = statistics.median(made[0].times[name])
        ratios = [statistics.median(one.times[name]) / base for one in made]
        marks = [f"{one:>9.2f}{'  over' if one > AIM else '':<7}" for one in ratios]
        print(f"{name:<28}", *marks)


def _print_plans(size: Size, cluster: Cluster) -> None:
    """List the statements that read a whole table, in requests on the largest database."""
    with recorded_statements(size.app) as statements:
        size.measure(size.count, STEPS)
        size.measure(1, LARGE_STEPS)
    print(f"\n{len(statements)} statements with {size.label} owners; those that read whole tables:")
    found = [*whole_reads(size.url.replace("book@", f"{ROLE}@"), statements, size.count)]
    for table, statement in found:
        print(f"  {table}: {statement[:160]}")
    if not found:
        print("  none")


def _print_sizes(size: Size) -> None:
    heads = f"{'rows/owner':>12}{'bytes/owner':>13}{'indexes':>12}{'MB':>9}"
    print(f"\n{f'{size.label} owners':<14}{heads}")
    total = 0.0
    for name, rows, table, indexes in sizes(size.url):
        total += (table + indexes) / size.count
        columns = f"{rows / size.count:>12.1f}{table / size.count:>13,.0f}"
        print(f"{name:<14}{columns}{indexes / size.count:>12,.0f}{(table + indexes) / 1e6:>9.1f}")
    print(f"{'all':<14}{'':>12}{total:>13,.0f}")
    changed, vacuum = vacuum_s(size.url)
    sync = statistics.median(size.times["sync of one note"])
    print(
        f"vacuum of {changed:,} changed records: {vacuum:.2f} s, "
        f"{100 * vacuum / (sync * changed):.1f} % of the time of syncing them one by one"
    )


if __name__ == "__main__":
    main()
