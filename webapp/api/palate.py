"""GET /api/palate: the fitted model of the owner's palate."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from threading import Lock
from typing import Any

from flask import Blueprint, Response, current_app, request
from marshmallow import INCLUDE, Schema, fields

from webapp import spec
from webapp.api.http.operation import operation
from webapp.auth.owners import current_owner
from webapp.db.engine import read_transaction
from webapp.palate.use.report import palate_report
from webapp.records.repository import active_records, notebook_version

blueprint = Blueprint("palate", __name__)


class PalateSchema(Schema):
    """The palate document, described in `webapp.palate.use.report`."""

    class Meta:
        unknown = INCLUDE

    format = fields.Integer(required=True)
    n_rated = fields.Integer(required=True)
    levels = fields.List(fields.String(), required=True)
    compact = fields.Dict(required=True)


@blueprint.get("/api/palate")
@operation(
    "The owner's palate, fitted to the tastings",
    answers={200: PalateSchema, 304: None},
    problems=(421, 503),
)
def palate() -> Response:
    today = datetime.now(UTC).date()
    owner_id = current_owner()
    etag, text = _document(owner_id, today, request.if_none_match.contains_weak)
    response = Response(text, mimetype="application/json", status=200 if text else 304)
    response.set_etag(etag, weak=True)
    response.headers["Cache-Control"] = "private, no-cache"
    return response


def _document(owner_id: int, today: date, has_tag: Any) -> tuple[str, str]:
    """Return (ETag, JSON text); the text is empty if the client already has this document."""
    etag = _tag(owner_id, today)
    if has_tag(etag):
        return etag, ""
    cached = _cached(owner_id)
    # Requests during a fit wait for its result, so that each version is fitted once.
    with cached.learning:
        if cached.document is not None and cached.document[0] == _tag(owner_id, today):
            return cached.document
        cached.document = _fitted(owner_id, today)
        return cached.document


@dataclass(slots=True)
class _Cached:
    """The last document of an owner, and the lock under which the next one is fitted."""

    learning: Lock = field(default_factory=Lock)
    document: tuple[str, str] | None = None


_CACHE_LOCK = Lock()


def _cached(owner_id: int) -> _Cached:
    with _CACHE_LOCK:
        palates: dict[int, _Cached] = current_app.extensions.setdefault("palates", {})
        return palates.setdefault(owner_id, _Cached())


def _tag(owner_id: int, today: date) -> str:
    with read_transaction() as connection:
        return _tag_of(notebook_version(connection, owner_id), today)


def _tag_of(version: tuple[str, int], today: date) -> str:
    epoch, seq = version
    return f"{epoch[:8]}-{seq}-{today.isoformat()}"


def _fitted(owner_id: int, today: date) -> tuple[str, str]:
    with read_transaction() as connection:
        etag = _tag_of(notebook_version(connection, owner_id), today)
        tastings = list(active_records(connection, owner_id, "tasting"))
        bottles = list(active_records(connection, owner_id, "bottle"))
    document = palate_report(tastings, bottles, spec.load("styles")["styles"], today)
    return etag, json.dumps(document, allow_nan=False)
