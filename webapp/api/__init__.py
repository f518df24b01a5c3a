"""The HTTP side: one blueprint a resource. A view loads, calls one function and dumps."""

from __future__ import annotations

from flask import Flask


def add_api(app: Flask) -> None:
    """Register every resource, the errors' form and the headers."""
    from webapp.api import book, client, health, openapi, palate, photos, records, sync
    from webapp.api.headers import add_headers
    from webapp.api.problems import handle_errors

    for module in (sync, palate, records, photos, book, openapi, health, client):
        app.register_blueprint(module.blueprint)
    handle_errors(app)
    add_headers(app)
