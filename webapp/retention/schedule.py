"""Schedules the deletion of expired pictures, values and guests, once a day for each owner.

It runs with the owner's first sync of a day; for owners who do not sync, in the background.
"""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Callable
from typing import Any

from flask import Flask, current_app
from sqlalchemy.exc import SQLAlchemyError

from webapp.auth.errors import AccessError
from webapp.auth.owners import set_current_owner
from webapp.db.engine import OwnerErased, empty_log, read_transaction, write_transaction
from webapp.photos.files import photo_files
from webapp.retention.daily_seq import DAY_S, has_today, owners_without_today
from webapp.retention.deleted_values import purge_deleted_values
from webapp.retention.erasure import purge_deleted
from webapp.retention.guests import forget_old_guests

EVERY_S = 3600
OWNERS_AT_ONCE = 500
# The database knows the others too; the memory saves a query.
MAX_REMEMBERED = 10_000
# An owner may be erased meanwhile or have a record that no more fits in; a pool without a free
# connection is no DBAPIError.
FAILURES = (SQLAlchemyError, OwnerErased, AccessError, OSError)
_log = logging.getLogger(__name__)


class PurgedToday:
    """The owners whose deletion of a day is known to have begun; one for each app."""

    def __init__(self, limit: int = MAX_REMEMBERED) -> None:
        """Remember `limit` owners at most."""
        self._limit = limit
        self._day = 0
        self._owners: dict[int, None] = {}
        self._lock = threading.Lock()

    def add(self, owner_id: int, day: int) -> bool:
        """Remember an owner; return False if it is remembered already."""
        with self._lock:
            if day != self._day:
                self._day, self._owners = day, {}
            if owner_id in self._owners:
                return False
            self._owners[owner_id] = None
            if len(self._owners) > self._limit:
                self._owners.pop(next(iter(self._owners)))
            return True


def purge_daily(owner_id: int) -> None:
    """Delete this owner's expired pictures and values, once a day on all workers.

    A failure is logged only: it must not fail the sync that called, whose changes are stored.
    """
    known: PurgedToday = current_app.extensions.setdefault("purged_today", PurgedToday())
    if not known.add(owner_id, int(time.time()) // DAY_S):
        return
    config: Any = current_app.config
    files, grace_days = photo_files(config["PHOTO_FOLDER"]), config["PHOTO_GRACE_DAYS"]
    try:
        with read_transaction() as connection:
            if has_today(connection, owner_id):
                return
        purge_deleted(write_transaction, files, owner_id, grace_days)
        purge_deleted_values(write_transaction, owner_id, grace_days)
        forget_old_guests(write_transaction, owner_id, time.time_ns() // 1_000_000)
    except FAILURES as error:
        # The next day tries again.
        _log.warning("not_erased", extra={"owner": owner_id, "cause": type(error).__name__})


def purge_due(app: Flask, pause: Callable[[float], object] = time.sleep) -> None:
    """Call `purge_daily` for every owner who has not had it today.

    It rests as long as it worked, so that it takes half of a processor at most.
    """
    after = 0
    while due := _due(app, after):
        for owner_id in due:
            began = time.monotonic()
            with app.test_request_context():
                set_current_owner(owner_id)
                purge_daily(owner_id)
            pause(time.monotonic() - began)
        after = due[-1]
    with app.app_context():
        empty_log()


def _due(app: Flask, after: int) -> list[int]:
    with app.app_context(), read_transaction() as connection:
        return owners_without_today(connection, after, OWNERS_AT_ONCE)


def keep_purging(app: Flask, wait: Callable[[], object] = lambda: time.sleep(EVERY_S)) -> None:
    """Call `purge_due` again and again in the background, until the process ends."""

    def run() -> None:
        while True:
            try:
                purge_due(app)
            except FAILURES as error:
                _log.warning("not_erased", extra={"cause": type(error).__name__})
            wait()

    threading.Thread(target=run, name="retention", daemon=True).start()
