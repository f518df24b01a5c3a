"""Concurrent owners on running servers: a few rounds in every run, more in `make test-all`."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import pytest

from tests.soak.clients import for_seconds, run_concurrently
from tests.soak.servers import postgres_server, sqlite_server
from tests.temporary_postgres import Cluster

ROUNDS = partial(range, 4)
LONG = partial(for_seconds, 20)


@pytest.mark.postgres
def test_concurrent_owners_lose_nothing_on_postgresql(tmp_path: Path, cluster: Cluster) -> None:
    with postgres_server(tmp_path, 8, cluster, workers=2) as server:
        total = run_concurrently(server, ROUNDS)
    assert total.faults == []
    assert total.changes > 8


def test_concurrent_owners_see_no_lock_error_on_sqlite(tmp_path: Path) -> None:
    with sqlite_server(tmp_path, owners=8) as server:
        total = run_concurrently(server, ROUNDS)
    assert total.faults == []
    assert total.changes > 8


@pytest.mark.extended
@pytest.mark.postgres
def test_fifty_concurrent_owners_lose_nothing_on_postgresql(
    tmp_path: Path, cluster: Cluster
) -> None:
    with postgres_server(tmp_path, 50, cluster) as server:
        total = run_concurrently(server, LONG)
    assert total.faults == []
    assert total.changes > 50


@pytest.mark.extended
def test_lock_errors_reach_no_phone_on_sqlite(tmp_path: Path) -> None:
    with sqlite_server(tmp_path, owners=8) as server:
        total = run_concurrently(server, LONG)
    assert total.faults == []
    assert total.changes > 8
