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
from webapp.group_tasting.access import is_for_guests
from webapp.records.schemas import schema_of

blueprint = Blueprint("openapi", __name__)
PROBLEM_TYPE = "application/problem+json"
GUEST_TOKEN = "guest"


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
    cached: dict[str, Any] | None = current_app.extensions.get("openapi")
    if cached is None:
        cached = current_app.extensions["openapi"] = document(current_app)
    return jsonify(cached)


def document(app: Flask) -> dict[str, Any]:
    """Return the OpenAPI document of every view that has an Operation."""
    plugin = MarshmallowPlugin(schema_name_resolver=_name)
    api_spec = APISpec(
        title="Second Nose",
        version="1",
        openapi_version="3.1.0",
        info={"description": "The server of a wine tasting notebook: storage, sync, statistics."},
        plugins=[plugin],
    )
    api_spec.components.schema("Problem", schema=ProblemSchema)
    api_spec.components.security_scheme(GUEST_TOKEN, {"type": "http", "scheme": "bearer"})
    for kind in spec.kinds():
        api_spec.components.schema(f"{kind.capitalize()}Fields", schema=_kind_schema(kind))
    for rule, op in _operations(app):
        path = re.sub(r"<(?:\w+:)?(\w+)>", r"{\1}", rule.rule)
        for method in sorted((rule.methods or set()) - {"HEAD", "OPTIONS"}):
            view = app.view_functions[rule.endpoint]
            operations = {
                method.lower(): _describe(rule, op, request_check_statuses(rule.rule, view))
            }
            if is_for_guests(view):
                operations[method.lower()]["security"] = [{GUEST_TOKEN: []}]
            api_spec.path(path, operations=operations)
    found: dict[str, Any] = api_spec.to_dict()
    return found


@cache
def _kind_schema(kind: str) -> type[Schema]:
    return schema_of(kind)


def _name(schema: Any) -> str:
    named = schema if isinstance(schema, type) else type(schema)
    return named.__name__.removesuffix("Schema")


def _operations(app: Flask) -> Iterator[tuple[Rule, Operation]]:
    for rule in sorted(app.url_map.iter_rules(), key=lambda rule: rule.rule):
        described = getattr(app.view_functions[rule.endpoint], OPERATION, None)
        if described is not None:
            yield rule, described


def request_check_statuses(path: str, view: Callable[..., Any]) -> tuple[int, ...]:
    """Return the error statuses of the request checks, which run before the view."""
    if not path.startswith("/api/"):
        return ()
    if is_for_guests(view):
        return (401, 403, 429)
    return (403, 429) if is_public(view) else (401, 403, 409, 426, 429)


# The status of a sign-in without a browser key: the client must be updated.
NEEDS_KEY = 426
_KEY_PARAMETER = {
    "name": KEY,
    "in": "header",
    "required": True,
    "schema": {"type": "string", "pattern": f"^[A-Za-z0-9_-]{{{MIN_KEY_LENGTH},64}}$"},
}


def _describe(rule: Rule, op: Operation, check_statuses: tuple[int, ...]) -> dict[str, Any]:
    described: dict[str, Any] = {
        "operationId": rule.endpoint.replace(".", "_"),
        "summary": op.summary,
        "parameters": [
            _parameter(name, shape, is_path=name in rule.arguments)
            for name, shape in op.parameters.items()
        ]
        + [_KEY_PARAMETER] * (NEEDS_KEY in op.problems),
        "responses": {
            str(status): _answer(status, content) for status, content in op.answers.items()
        },
    }
    if op.links:
        described["responses"]["200"]["links"] = {
            endpoint: {"operationId": endpoint.replace(".", "_"), "parameters": {"id_": place}}
            for endpoint, place in op.links.items()
        }
    for status in sorted({*op.problems, *check_statuses}):
        described["responses"][str(status)] = {
            "description": HTTP_STATUS_CODES[status],
            "content": {PROBLEM_TYPE: {"schema": {"$ref": "#/components/schemas/Problem"}}},
        }
    if op.body is not None:
        described["requestBody"] = {"required": True, "content": _body(op.body)}
    return described


def _parameter(name: str, shape: dict[str, Any], *, is_path: bool) -> dict[str, Any]:
    """Describe a part of the path, or an optional parameter of the query."""
    place = "path" if is_path else "query"
    return {"name": name, "in": place, "required": is_path, "schema": {"type": "string", **shape}}


def _body(body: type[Schema] | tuple[str, ...]) -> dict[str, Any]:
    if isinstance(body, tuple):
        return {media_type: {"schema": _BYTES} for media_type in body}
    return {"application/json": {"schema": body}}


_BYTES = {"type": "string", "format": "binary"}


def _answer(status: int, content: type[Schema] | str | None) -> dict[str, Any]:
    described: dict[str, Any] = {"description": HTTP_STATUS_CODES[status]}
    if isinstance(content, str):
        described["content"] = {content: {"schema": _BYTES}}
    elif content is not None:
        described["content"] = {"application/json": {"schema": content}}
    return described
