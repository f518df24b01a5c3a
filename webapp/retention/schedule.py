"""Schedules the deletion of expired pictures and values: at the start, and once a day on use."""

from __future__ import annotations

import logging
import time
from pathlib import Path
from typing import Any

from flask import Flask, current_app
from sqlalchemy.exc import DBAPIError

from webapp.auth.owners import owners, set_current_owner
from webapp.db.engine import write_transaction
from webapp.retention.daily_seq import DAY_S
from webapp.retention.deleted_values import purge_deleted_values
from webapp.retention.erasure import purge_deleted

_log = logging.getLogger(__name__)


def purge_daily(owner_id: int) -> None:
    """Delete this owner's expired pictures and values, once a day in each process. Never raises."""
    done: dict[int, int] = current_app.extensions.setdefault("erased_on", {})
    today = int(time.time()) // DAY_S
    if done.get(owner_id) == today:
        return
    done[owner_id] = today
    config: Any = current_app.config
    folder, grace_days = Path(config["PHOTO_FOLDER"]), config["PHOTO_GRACE_DAYS"]
    try:
        purge_deleted(write_transaction, folder, owner_id, grace_days)
        purge_deleted_values(write_transaction, owner_id, grace_days)
    except (DBAPIError, OSError) as error:
        # A failed purge must not fail the sync that called it; the next day tries again.
        _log.warning("not_erased", extra={"owner": owner_id, "cause": type(error).__name__})


def purge_at_start(app: Flask) -> None:
    """Call `purge_daily` for every owner."""
    with app.test_request_context():
        for owner_id, _, _ in owners():
            set_current_owner(owner_id)
            purge_daily(owner_id)
