"""Metrics of the server in Prometheus' text format; off unless SECONDNOSE_METRICS is 1.

Requests are counted by the pattern of their route, so no label has an id or an owner. With several
worker processes, each writes its figures to files in a common folder (PROMETHEUS_MULTIPROC_DIR,
which `webapp.gunicorn_config` sets), and any of them answers for all.
"""

from __future__ import annotations

import os
import time
from typing import Any

from flask import Flask, Response, current_app, g, request

METHODS = frozenset({"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS"})
BUCKETS_S = (0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0, 10.0)
PALATE_ROUTE = "/api/palate"
FOLDER = "PROMETHEUS_MULTIPROC_DIR"


class Metrics:
    """The metrics of an app."""

    def __init__(self) -> None:
        # Imported here, because the package decides at its import whether workers share files.
        from prometheus_client import CollectorRegistry, Counter, Gauge, Histogram

        self.registry = CollectorRegistry()
        given: Any = {"registry": self.registry}
        self._requests = Counter(
            "secondnose_requests_total",
            "Requests by route pattern and status",
            ["method", "route", "status"],
            **given,
        )
        self._seconds = Histogram(
            "secondnose_request_seconds",
            "Time until the response is made",
            ["method", "route"],
            buckets=BUCKETS_S,
            **given,
        )
        self._changes = Counter(
            "secondnose_sync_changes_total", "Changes of phones by outcome", ["outcome"], **given
        )
        self._pulled = Counter(
            "secondnose_sync_pulled_total", "Changes that were sent to phones", **given
        )
        self._learning = Histogram(
            "secondnose_palate_seconds",
            "Time of requests for which a palate was sent",
            buckets=BUCKETS_S,
            **given,
        )
        self._processes = Gauge(
            "secondnose_processes",
            "Processes whose figures are included",
            multiprocess_mode="livesum",
            **given,
        )
        self._processes.set(1)

    def count_request(self, response: Response, took_s: float) -> None:
        """Count a request and its time."""
        route = request.url_rule.rule if request.url_rule else "none"
        method = request.method if request.method in METHODS else "other"
        self._requests.labels(method, route, str(response.status_code)).inc()
        self._seconds.labels(method, route).observe(took_s)
        if route == PALATE_ROUTE and response.status_code == 200:
            self._learning.observe(took_s)

    def count_sync(self, outcomes: list[dict[str, Any]], pulled: int) -> None:
        """Count the outcomes of a sync and the changes that it returned."""
        for one in outcomes:
            self._changes.labels(one["outcome"]).inc()
        self._pulled.inc(pulled)

    def text(self) -> bytes:
        """Return the figures, of all workers if they share a folder."""
        from prometheus_client import CollectorRegistry, generate_latest
        from prometheus_client.multiprocess import MultiProcessCollector

        registry = self.registry
        if os.environ.get(FOLDER):
            registry = CollectorRegistry()
            MultiProcessCollector(registry)  # type: ignore[no-untyped-call]
        return bytes(generate_latest(registry))


def add_metrics(app: Flask) -> None:
    """Count the requests of the app, if its metrics are on."""
    if not app.config["METRICS"]:
        return
    metrics = app.extensions["metrics"] = Metrics()

    @app.after_request
    def count(response: Response) -> Response:
        metrics.count_request(response, time.monotonic() - g.get("started", time.monotonic()))
        return response


def current_metrics() -> Metrics | None:
    """Return the metrics of the current app, None if they are off."""
    found: Metrics | None = current_app.extensions.get("metrics")
    return found
