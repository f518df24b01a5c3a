"""Health checks: GET /healthz (the process runs) and GET /readyz (the database is usable)."""

from __future__ import annotations

from typing import Any

from flask import Blueprint
from marshmallow import Schema, fields

from webapp import migrations
from webapp.api.http.errors import ApiError
from webapp.api.http.operation import operation
from webapp.db.engine import db

blueprint = Blueprint("health", __name__)


class HealthSchema(Schema):
    """The check passed; `status` is "ok"."""

    status = fields.String(required=True)


@blueprint.get("/healthz")
@operation("Is the process alive?", answers={200: HealthSchema}, problems=(421,))
def alive() -> dict[str, Any]:
    return dict(HealthSchema().dump({"status": "ok"}))


@blueprint.get("/readyz")
@operation("Can it serve?", answers={200: HealthSchema}, problems=(421, 503))
def ready() -> dict[str, Any]:
    state = migrations.state(db.engine)
    if state != "current":
        advice = "install that version" if state == "newer" else "run 'secondnose db upgrade'"
        raise ApiError(503, "not_ready", f"The database is {state}; {advice}.")
    return dict(HealthSchema().dump({"status": "ok"}))
