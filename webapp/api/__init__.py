"""The HTTP API: one blueprint per resource. A view loads, calls one function and dumps."""

from __future__ import annotations

from flask import Flask


def add_api(app: Flask) -> None:
    """Register the resources, error handlers and headers."""
    from webapp.api import (
        account,
        archive,
        erasure,
        group_tastings,
        guest_consent,
        guests,
        health,
        metrics,
        news,
        openapi,
        pairings,
        palate,
        passkeys,
        photos,
        records,
        sync,
    )
    from webapp.api.http.headers import add_headers
    from webapp.api.http.headers_first import answer_headers
    from webapp.api.http.problems import handle_errors
    from webapp.client import files
    from webapp.group_tasting.access import register_guest_check

    register_guest_check(app)
    answer_headers(app)
    own = (sync, palate, records, photos, archive, account, news, pairings, passkeys, erasure)
    tables = (group_tastings, guests, guest_consent)
    pages = (*own, *tables, openapi, health, metrics, files)
    for module in pages:
        app.register_blueprint(module.blueprint)
    handle_errors(app)
    add_headers(app)
