"""`python -m tests.soak --seconds 60`: 50 owners on PostgreSQL, then eight threads on SQLite."""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path

from tests.soak.clients import for_seconds, run_concurrently
from tests.soak.servers import Server, postgres_server, sqlite_server
from tests.temporary_postgres import running_cluster

SHOWN = 10


@contextmanager
def postgres(folder: Path, owners: int) -> Iterator[Server]:
    with running_cluster() as cluster, postgres_server(folder, owners, cluster) as server:
        yield server


SERVERS = {"postgresql, 4 workers": (postgres, 50), "sqlite, 8 threads": (sqlite_server, 8)}


def main() -> int:
    """Print one line for each server and return 1 if there were errors."""
    parser = argparse.ArgumentParser(prog="python -m tests.soak", description=__doc__)
    parser.add_argument("--seconds", type=float, default=60)
    given = parser.parse_args()
    wrong = 0
    for name, (server_of, owners) in SERVERS.items():
        with (
            tempfile.TemporaryDirectory() as folder,
            server_of(Path(folder), owners) as server,
        ):
            total = run_concurrently(server, partial(for_seconds, given.seconds))
            locked = server.log.read_text(errors="replace").count("is locked")
        print(
            f"{name}: {owners} owners, {total.requests} requests, {total.changes} changes,"
            f" {total.records} records, {len(total.faults)} faults, {locked} times 'is locked'",
            flush=True,
        )
        for fault in total.faults[:SHOWN]:
            print("  " + fault)
        wrong += len(total.faults)
    return int(wrong > 0)


if __name__ == "__main__":
    sys.exit(main())
