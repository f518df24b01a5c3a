"""GET /api/openapi.json, generated from the views' operations and the marshmallow schemas."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import cache
from typing import Any

from apispec import APISpec
from apispec.ext.marshmallow import MarshmallowPlugin
from flask import Blueprint, Flask, current_app, jsonify
from flask.typing import ResponseReturnValue
from marshmallow import Schema, fields
from werkzeug.http import HTTP_STATUS_CODES
from werkzeug.routing import Rule

from webapp import spec
from webapp.api.http.operation import OPERATION, Operation, operation
from webapp.auth.authenticate import KEY, MIN_KEY_LENGTH
from webapp.auth.request_checks import is_public, public
from webapp.records.schemas import schema_of

blueprint = Blueprint("openapi", __name__)
PROBLEM_TYPE = "application/problem+json"


class ProblemSchema(Schema):
    """Problem details (RFC 9457); programs read `code`."""

    type = fields.String(required=True)
    title = fields.String(required=True)
    status = fields.Integer(required=True)
    detail = fields.String(required=True)
    code = fields.String(required=True)
    errors = fields.Raw()


class OpenApiSchema(Schema):
    """An OpenAPI document."""

    openapi = fields.String(required=True)
    info = fields.Dict(required=True)
    paths = fields.Dict(required=True)
    components = fields.Dict(required=True)


@blueprint.get("/api/openapi.json")
@public
@operation("This document", answers={200: OpenApiSchema}, problems=(421,))
def openapi() -> ResponseReturnValue:
    kept: dict[str, Any] | None = current_app.extensions.get("openapi")
    if kept is None:
        kept = current_app.extensions["openapi"] = document(current_app)
    return jsonify(kept)


def document(app: Flask) -> dict[str, Any]:
    """Return the OpenAPI document of every view that has an Operation."""
    plugin = MarshmallowPlugin(schema_name_resolver=_name)
    made = APISpec(
        title="Second Nose",
        version="1",
        openapi_version="3.1.0",
        info={"description": "A pocket tasting book's safe, second reader and statistician."},
        plugins=[plugin],
    )
    made.components.schema("Problem", schema=ProblemSchema)
    for kind in spec.kinds():
        made.components.schema(f"{kind.capitalize()}Fields", schema=_kind_schema(kind))
    for rule, told in _operations(app):
        path = re.sub(r"<(?:\w+:)?(\w+)>", r"{\1}", rule.rule)
        for method in sorted((rule.methods or set()) - {"HEAD", "OPTIONS"}):
            view = app.view_functions[rule.endpoint]
            told_here = {
                method.lower(): _describe(rule, told, request_check_statuses(rule.rule, view))
            }
            made.path(path, operations=told_here)
    found: dict[str, Any] = made.to_dict()
    return found


@cache
def _kind_schema(kind: str) -> type[Schema]:
    return schema_of(kind)


def _name(schema: Any) -> str:
    named = schema if isinstance(schema, type) else type(schema)
    return named.__name__.removesuffix("Schema")


def _operations(app: Flask) -> Iterator[tuple[Rule, Operation]]:
    for rule in sorted(app.url_map.iter_rules(), key=lambda rule: rule.rule):
        told = getattr(app.view_functions[rule.endpoint], OPERATION, None)
        if told is not None:
            yield rule, told


def request_check_statuses(path: str, view: Callable[..., Any]) -> tuple[int, ...]:
    """Return the error statuses of the request checks, which run before the view."""
    if not path.startswith("/api/"):
        return ()
    return (403, 429) if is_public(view) else (401, 403, 409, 426, 429)


# The status of a sign-in without a browser key: the client must be updated.
NEEDS_KEY = 426
_KEY_PARAMETER = {
    "name": KEY,
    "in": "header",
    "required": True,
    "schema": {"type": "string", "pattern": f"^[A-Za-z0-9_-]{{{MIN_KEY_LENGTH},64}}$"},
}


def _describe(rule: Rule, told: Operation, gate: tuple[int, ...]) -> dict[str, Any]:
    described: dict[str, Any] = {
        "operationId": rule.endpoint.replace(".", "_"),
        "summary": told.summary,
        "parameters": [
            {"name": name, "in": "path", "required": True, "schema": {"type": "string", **shape}}
            for name, shape in told.parameters.items()
        ]
        + [_KEY_PARAMETER] * (NEEDS_KEY in told.problems),
        "responses": {str(status): _answer(status, as_) for status, as_ in told.answers.items()},
    }
    if told.links:
        described["responses"]["200"]["links"] = {
            endpoint: {"operationId": endpoint.replace(".", "_"), "parameters": {"id_": place}}
            for endpoint, place in told.links.items()
        }
    for status in sorted({*told.problems, *gate}):
        described["responses"][str(status)] = {
            "description": HTTP_STATUS_CODES[status],
            "content": {PROBLEM_TYPE: {"schema": {"$ref": "#/components/schemas/Problem"}}},
        }
    if told.body is not None:
        described["requestBody"] = {"required": True, "content": _body(told.body)}
    return described


def _body(body: type[Schema] | tuple[str, ...]) -> dict[str, Any]:
    if isinstance(body, tuple):
        return {media_type: {"schema": _BYTES} for media_type in body}
    return {"application/json": {"schema": body}}


_BYTES = {"type": "string", "format": "binary"}


def _answer(status: int, told: type[Schema] | str | None) -> dict[str, Any]:
    described: dict[str, Any] = {"description": HTTP_STATUS_CODES[status]}
    if isinstance(told, str):
        described["content"] = {told: {"schema": _BYTES}}
    elif told is not None:
        described["content"] = {"application/json": {"schema": told}}
    return described
