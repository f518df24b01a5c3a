"""Schedules the deletion of expired pictures, values and guests.

It runs at the start, once a day when an owner syncs, and once a day without any request.
"""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Callable
from typing import Any

from flask import Flask, current_app
from sqlalchemy.exc import DBAPIError

from webapp.auth.owners import owners, set_current_owner
from webapp.db.engine import write_transaction
from webapp.photos.files import photo_files
from webapp.retention.daily_seq import DAY_S
from webapp.retention.deleted_values import purge_deleted_values
from webapp.retention.erasure import purge_deleted
from webapp.retention.guests import forget_old_guests

EVERY_S = 3600
_log = logging.getLogger(__name__)


def purge_daily(owner_id: int) -> None:
    """Delete this owner's expired pictures and values, once a day in each process. Never raises."""
    done: dict[int, int] = current_app.extensions.setdefault("erased_on", {})
    today = int(time.time()) // DAY_S
    if done.get(owner_id) == today:
        return
    done[owner_id] = today
    config: Any = current_app.config
    files, grace_days = photo_files(config["PHOTO_FOLDER"]), config["PHOTO_GRACE_DAYS"]
    try:
        purge_deleted(write_transaction, files, owner_id, grace_days)
        purge_deleted_values(write_transaction, owner_id, grace_days)
        forget_old_guests(write_transaction, owner_id, time.time_ns() // 1_000_000)
    except (DBAPIError, OSError) as error:
        # A failed purge must not fail the sync that called it; the next day tries again.
        _log.warning("not_erased", extra={"owner": owner_id, "cause": type(error).__name__})


def purge_at_start(app: Flask) -> None:
    """Call `purge_daily` for every owner."""
    with app.test_request_context():
        for owner_id, _, _ in owners():
            set_current_owner(owner_id)
            purge_daily(owner_id)


def keep_purging(app: Flask, wait: Callable[[], object] = lambda: time.sleep(EVERY_S)) -> None:
    """Call `purge_at_start` again and again in the background, until the process ends."""

    def run() -> None:
        while True:
            wait()
            try:
                purge_at_start(app)
            except (DBAPIError, OSError) as error:
                _log.warning("not_erased", extra={"cause": type(error).__name__})

    threading.Thread(target=run, name="retention", daemon=True).start()
