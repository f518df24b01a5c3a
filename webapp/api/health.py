"""Is the process alive, and can it serve?"""

from __future__ import annotations

from flask import Blueprint
from marshmallow import Schema, fields

from webapp import migrations
from webapp.api.http.errors import ApiError
from webapp.api.http.operation import operation
from webapp.db.engine import db

blueprint = Blueprint("health", __name__)


class HealthSchema(Schema):
    """`status` is "ok"."""

    status = fields.String(required=True)


@blueprint.get("/healthz")
@operation("Is the process alive?", answers={200: HealthSchema}, problems=(421,))
def alive() -> dict[str, str]:
    return {"status": "ok"}


@blueprint.get("/readyz")
@operation("Can it serve?", answers={200: HealthSchema}, problems=(421, 503))
def ready() -> dict[str, str]:
    state = migrations.state(db.engine)
    if state != "current":
        raise ApiError(503, "not_ready", f"The database is {state}; run 'secondnose db upgrade'.")
    return {"status": "ok"}
