"""GET /api/palate: the fitted model of the owner's palate, or of a person's in the notebook."""

from __future__ import annotations

import contextlib
import hashlib
import json
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from functools import cache
from pathlib import Path
from threading import Lock
from typing import Any

from flask import Blueprint, Response, current_app, request
from marshmallow import INCLUDE, Schema, fields

from webapp import spec
from webapp.api.http.errors import ApiError
from webapp.api.http.operation import operation
from webapp.auth.owners import current_owner
from webapp.db.engine import BUSY_ERRORS, read_transaction, write_transaction
from webapp.palate.use.report import palate_report, select_inputs, select_person_inputs
from webapp.palate.use.taster import select_taster
from webapp.records import palate_documents
from webapp.records.repository import active_records, notebook_version
from webapp.records.schemas import UUID_PATTERN

blueprint = Blueprint("palate", __name__)


class PalateSchema(Schema):
    """The palate document, described in `webapp.palate.use.report`."""

    class Meta:
        unknown = INCLUDE

    format = fields.Integer(required=True)
    n_rated = fields.Integer(required=True, metadata={"description": "tastings with a rating"})
    n_wines = fields.Integer(required=True, metadata={"description": "different wines of them"})
    levels = fields.List(fields.String(), required=True)
    example = fields.Boolean(
        required=True, metadata={"description": "learned from the example's invented taster"}
    )
    compact = fields.Dict(required=True)


@dataclass(slots=True)
class _Cached:
    """The last document of a palate, and the lock under which the next one is fitted.

    `state` is the version and day that were last looked at; `etag` names the document they have.
    """

    learning: Lock = field(default_factory=Lock)
    state: tuple[tuple[str, int], date] | None = None
    etag: str = ""
    text: str | None = None


@dataclass(frozen=True, slots=True)
class _Inputs:
    """What the report reads of the notebook at one version."""

    version: tuple[str, int]
    tastings: list[dict[str, Any]]
    bottles: list[dict[str, Any]]
    agreed: frozenset[str]
    is_example: bool = False

    def etag(self, today: date) -> str:
        """Depend on values and code only: a new word in a note is no reason to fit again."""
        values = [_code_digest(), self.tastings, self.bottles, self.is_example]
        text = json.dumps(values, sort_keys=True)
        digest = hashlib.sha256(text.encode()).hexdigest()
        return f"{self.version[0][:8]}-{digest[:20]}-{today.isoformat()}"


# Owner, and person of that owner's notebook, or None for the owner, or _EXAMPLE.
_Key = tuple[int, str | None]

# Not an id of a person, which is a UUID.
_EXAMPLE = "example"

_CACHE_LOCK = Lock()
# How often to look whether another process has learned the palate.
_POLL_S = 0.1
_MAX_CACHED = 500
_MAX_CACHED_BYTES = 32 * 1024 * 1024


@blueprint.get("/api/palate")
@operation(
    "The owner's palate, fitted to the tastings, or that of a person, fitted to the sheets",
    answers={200: PalateSchema, 304: None},
    problems=(404, 421, 503),
    parameters={"person": {"pattern": UUID_PATTERN}, "taster": {"enum": [_EXAMPLE]}},
)
def palate() -> Response:
    today = datetime.now(UTC).date()
    key = (current_owner(), request.args.get("person", request.args.get("taster")))
    if key[1] not in (None, _EXAMPLE) and not _has_agreed(*key):
        with _CACHE_LOCK:
            _palates().pop(key, None)
        raise ApiError(404, "no_record", "There is no such person who agreed to a palate.")
    etag, text = _document(key, today, request.if_none_match.contains_weak)
    response = Response(text, mimetype="application/json", status=200 if text else 304)
    response.set_etag(etag, weak=True)
    response.headers["Cache-Control"] = "private, no-cache"
    return response


def _has_agreed(owner_id: int, person: str | None) -> bool:
    with read_transaction() as connection:
        people = active_records(connection, owner_id, "person")
        return any(one["id"] == person and one.get("agreed_at") for one in people)


def _document(key: _Key, today: date, is_known: Callable[[str], bool]) -> tuple[str, str]:
    """Return (ETag, JSON text); the text is empty if the client already has this document."""
    kept = _cached(key)
    # Requests during a fit wait for it, then read anew, so that they share one fit.
    with kept.learning:
        if kept.state == (_version(key[0]), today) and (kept.text or is_known(kept.etag)):
            return kept.etag, "" if is_known(kept.etag) else str(kept.text)
        inputs = _read_inputs(*key)
        etag = inputs.etag(today)
        if etag != kept.etag:
            kept.etag, kept.text = etag, None
        kept.state = (inputs.version, today)
        if is_known(etag):
            return etag, ""
        if kept.text is None:
            kept.text = _shared(inputs, palate_documents.Key(key[0], key[1] or "", etag), today)
        return etag, kept.text


def _palates() -> dict[_Key, _Cached]:
    palates: dict[_Key, _Cached] = current_app.extensions.setdefault("palates", {})
    return palates


def _cached(key: _Key) -> _Cached:
    with _CACHE_LOCK:
        palates = _palates()
        # The last used entry is the last of the dictionary.
        kept = palates.pop(key) if key in palates else _Cached()
        palates[key] = kept
        _drop_oldest(palates)
        return kept


def _drop_oldest(palates: dict[_Key, _Cached]) -> None:
    """Drop the least recently used documents beyond the bounds, but never the last used one.

    A request that is fitting a dropped entry keeps its own reference.
    """
    size = sum(len(one.text or "") for one in palates.values())
    while len(palates) > 1 and (len(palates) > _MAX_CACHED or size > _MAX_CACHED_BYTES):
        size -= len(palates.pop(next(iter(palates))).text or "")


def _version(owner_id: int) -> tuple[str, int]:
    with read_transaction() as connection:
        return notebook_version(connection, owner_id)


def _read_inputs(owner_id: int, person: str | None) -> _Inputs:
    with read_transaction() as connection:
        bottles = active_records(connection, owner_id, "bottle")
        people = active_records(connection, owner_id, "person")
        agreed = frozenset(str(one["id"]) for one in people if one.get("agreed_at"))
        is_example = False
        if person in (None, _EXAMPLE):
            tastings = active_records(connection, owner_id, "tasting")
            taught, is_example = select_taster(tastings, person == _EXAMPLE)
            selected = select_inputs(taught, bottles)
        else:
            guests, glasses, sheets = (
                active_records(connection, owner_id, kind) for kind in ("guest", "glass", "sheet")
            )
            # The leader can take sheets out of what is learned of a person.
            kept = [one for one in sheets if not one.get("left_out")]
            selected = select_person_inputs(person, guests, glasses, kept, bottles)
        return _Inputs(notebook_version(connection, owner_id), *selected, agreed, is_example)


def _shared(inputs: _Inputs, key: palate_documents.Key, today: date) -> str:
    """Return the document that some process learned, or learn it if none is doing so."""
    while True:
        with read_transaction() as connection:
            found = palate_documents.find_document(connection, key)
        if found is not None:
            return found
        try:
            with write_transaction() as connection:
                palate_documents.keep_only(connection, key.owner_id, {_EXAMPLE, *inputs.agreed})
                is_mine = palate_documents.claim(connection, key, int(time.time()))
        except BUSY_ERRORS:
            # A full disk or a long write must not hide the palate.
            return _fit(inputs, today)
        if is_mine:
            return _learn_claimed(inputs, key, today)
        time.sleep(_POLL_S)


def _learn_claimed(inputs: _Inputs, key: palate_documents.Key, today: date) -> str:
    text: str | None = None
    try:
        text = _fit(inputs, today)
        return text
    finally:
        with contextlib.suppress(*BUSY_ERRORS), write_transaction() as connection:
            palate_documents.store_document(connection, key, text)


@cache
def _code_digest() -> str:
    """Return a digest of the code and the styles, so that an update causes a new fit."""
    digest = hashlib.sha256(json.dumps(spec.load("styles"), sort_keys=True).encode())
    for file in sorted(Path(spec.PACKAGE, "palate").rglob("*.py")):
        digest.update(file.read_bytes())
    return digest.hexdigest()


def _fit(inputs: _Inputs, today: date) -> str:
    styles = spec.load("styles")["styles"]
    document = palate_report(inputs.tastings, inputs.bottles, styles, today)
    return json.dumps({**document, "example": inputs.is_example}, allow_nan=False)
