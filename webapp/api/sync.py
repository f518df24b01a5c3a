"""POST /api/sync: exchanges changes with a phone."""

from __future__ import annotations

from flask import Blueprint, Response, current_app

from webapp.api.http.body import json_body, load
from webapp.api.http.common import current_ms
from webapp.api.http.errors import ApiError
from webapp.api.http.operation import operation
from webapp.auth.authenticate import remember_device
from webapp.auth.owners import current_owner
from webapp.db.engine import write_transaction
from webapp.metrics import current_metrics
from webapp.retention.schedule import purge_daily
from webapp.sync.schemas import SyncAnswerSchema, SyncRequestSchema
from webapp.sync.service import FORMAT, handle_sync

blueprint = Blueprint("sync", __name__)


@blueprint.post("/api/sync")
@operation(
    "Send changes and fetch a page of the notebook's changes",
    body=SyncRequestSchema,
    answers={200: SyncAnswerSchema},
    problems=(400, 403, 409, 413, 415, 421, 503),
)
def sync() -> Response:
    value = json_body(current_app.config["MAX_SYNC_BYTES"])
    _check_format(value)
    request = load(SyncRequestSchema(), value)
    remember_device(request.device)
    now_ms, max_records = current_ms(), current_app.config["MAX_RECORDS"]
    answer = handle_sync(write_transaction, current_owner(), request, now_ms, max_records)
    metrics = current_metrics()
    if metrics is not None:
        metrics.count_sync(answer.outcomes, len(answer.page.changes))
    purge_daily(current_owner())
    return Response(answer.text(), mimetype="application/json")


def _check_format(value: object) -> None:
    """Respond 409 to another format number; the phone then asks its owner to update."""
    given = value.get("format") if isinstance(value, dict) else None
    if isinstance(given, int) and not isinstance(given, bool) and given != FORMAT:
        raise ApiError(
            409, "format", f"This server uses sync format {FORMAT}; update the older side."
        )
