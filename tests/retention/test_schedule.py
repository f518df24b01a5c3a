"""Deletion runs once a day for each owner, whichever process does it, with bounded memory."""

from __future__ import annotations

import threading
import time
from typing import Any

import pytest
from flask import Flask
from sqlalchemy.exc import OperationalError
from sqlalchemy.exc import TimeoutError as PoolTimeout

from tests.auth.conftest import add_owners, signed_in_client
from tests.auth.tenant_probe import push
from tests.conftest import AppMaker, dispose
from tests.retention.test_erasure import begin_a_new_day
from webapp import create_app
from webapp.auth.erasure import erase_owner
from webapp.auth.owners import add_owner
from webapp.db.engine import OwnerErased, write_transaction
from webapp.retention import schedule
from webapp.retention.schedule import PurgedToday, keep_purging, purge_due


@pytest.fixture
def purged(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Return a list of the owners whose deletion was run."""
    found, purge = list[int](), schedule.purge_deleted

    def note(transaction: Any, files: Any, owner_id: int, days: int) -> int:
        found.append(owner_id)
        return purge(transaction, files, owner_id, days)

    monkeypatch.setattr(schedule, "purge_deleted", note)
    return found


def no_pause(_: float) -> None:
    pass


def test_deletion_runs_once_a_day_on_all_workers(any_app: Flask, purged: list[int]) -> None:
    add_owners(any_app)
    push(signed_in_client(any_app, "anna"))
    settings = {name: any_app.config[name] for name in ("DATABASE_URL", "PHOTO_FOLDER")}
    other = create_app(settings)
    for app in (any_app, other):
        push(signed_in_client(app, "anna"))
        purge_due(app, no_pause)
    dispose(other)
    assert purged == [1, 2]
    begin_a_new_day(any_app)
    purge_due(any_app, no_pause)
    assert purged == [1, 2, 1, 2]


def test_background_deletion_reaches_every_owner(
    make_app: AppMaker, purged: list[int], monkeypatch: pytest.MonkeyPatch
) -> None:
    app = make_app()
    monkeypatch.setattr(schedule, "OWNERS_AT_ONCE", 2)
    with app.app_context(), write_transaction() as connection:
        for number in range(5):
            add_owner(connection, f"owner {number}", "seven wet stone steps")
    pauses = list[float]()
    purge_due(app, pauses.append)
    assert purged == [1, 2, 3, 4, 5]
    assert len(pauses) == 5
    assert min(pauses) > 0


def test_remembered_owners_are_bounded() -> None:
    known = PurgedToday(3)
    assert [known.add(owner_id, 7) for owner_id in (1, 2, 1, 3, 4)] == [1, 1, 0, 1, 1]
    assert len(known._owners) == 3
    # The oldest was dropped; the database knows it.
    assert known.add(1, 7)
    assert [known.add(4, 7), known.add(4, 8)] == [False, True]
    assert len(known._owners) == 1


def test_owner_erased_meanwhile_stops_no_other_purge(
    app: Flask, purged: list[int], monkeypatch: pytest.MonkeyPatch
) -> None:
    add_owners(app)
    with app.app_context(), write_transaction() as connection:
        add_owner(connection, "carla", "six late paper moons")
        erase_owner(connection, lambda _: None, 2, int(time.time()))
    monkeypatch.setattr(
        schedule, "owners_without_today", lambda _, after, __: [] if after else [1, 2, 3]
    )
    purge_due(app, no_pause)
    assert purged == [1, 2, 3]


FAILURES = [
    PoolTimeout("no free connection"),
    OperationalError("BEGIN", None, Exception("database is locked")),
    OwnerErased(),
    OSError("the photo store is away"),
]


@pytest.mark.parametrize("error", FAILURES, ids=lambda one: type(one).__name__)
def test_failed_purge_does_not_fail_a_sync(
    app: Flask, monkeypatch: pytest.MonkeyPatch, error: Exception
) -> None:
    def fail(*_: Any) -> None:
        raise error

    add_owners(app)
    monkeypatch.setattr(schedule, "purge_deleted", fail)
    push(signed_in_client(app, "anna"))


class Here(threading.Thread):
    """Runs in the thread that starts it."""

    def start(self) -> None:
        self.run()


class Enough(Exception):
    """Ends a loop that would run until the process ends."""


@pytest.mark.parametrize("error", FAILURES, ids=lambda one: type(one).__name__)
def test_background_purge_survives_a_failure(
    app: Flask, monkeypatch: pytest.MonkeyPatch, error: Exception
) -> None:
    rounds = list[Flask]()

    def fail(of: Flask) -> None:
        rounds.append(of)
        raise error

    def wait() -> None:
        if len(rounds) == 3:
            raise Enough

    monkeypatch.setattr(threading, "Thread", Here)
    monkeypatch.setattr(schedule, "purge_due", fail)
    with pytest.raises(Enough):
        keep_purging(app, wait)
