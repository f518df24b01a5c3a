"""GET /metrics: figures for an operator, for programs on this machine only."""

from __future__ import annotations

from flask import Blueprint, Response

from webapp.api.http.errors import ApiError
from webapp.api.http.operation import operation
from webapp.auth.authenticate import is_from_this_machine
from webapp.metrics import current_metrics

blueprint = Blueprint("metrics", __name__)
# Version 0.0.4 of the text format, which every version of Prometheus reads.
MEDIA_TYPE = "text/plain; version=0.0.4; charset=utf-8"


@blueprint.get("/metrics")
@operation(
    "Figures for an operator, in Prometheus' text format; off by default",
    answers={200: "text/plain"},
    problems=(404, 421),
)
def metrics() -> Response:
    found = current_metrics()
    if found is None or not is_from_this_machine():
        raise ApiError(404, "not_found", "There is nothing under this address.")
    response = Response(found.text(), content_type=MEDIA_TYPE)
    response.headers["Cache-Control"] = "no-store"
    return response
