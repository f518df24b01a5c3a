"""The revisions of a record, and the records of the example notebook."""

from __future__ import annotations

from functools import cache

from flask import Blueprint, Response, request
from marshmallow import Schema, fields

from webapp import spec
from webapp.api.http.errors import ApiError
from webapp.api.http.operation import operation
from webapp.auth.owners import current_owner
from webapp.auth.request_checks import public
from webapp.db.engine import read_transaction
from webapp.records.repository import load_revisions, to_json
from webapp.records.schemas import UUID_PATTERN, RecordSchema
from webapp.records.validate import is_id
from webapp.sync.hlc import clock_device, clock_ms

blueprint = Blueprint("records", __name__)


class RevisionSchema(Schema):
    """A superseded value; `field` is "deleted" for the deletion mark."""

    field = fields.String(required=True)
    value = fields.Raw(required=True, allow_none=True)
    clock = fields.String(required=True)
    device = fields.String(required=True)
    at_ms = fields.Integer(required=True)
    overruled_at = fields.Integer(required=True, allow_none=True)


class RevisionsSchema(Schema):
    """The revisions of one record, latest first."""

    kind = fields.String(required=True)
    id = fields.String(required=True)
    revisions = fields.List(fields.Nested(RevisionSchema), required=True)


class ExampleSchema(Schema):
    """The records of the example notebook."""

    format = fields.Integer(required=True)
    records = fields.List(fields.Nested(RecordSchema), required=True)


@blueprint.get("/api/records/<kind>/<id_>/revisions")
@operation(
    "Earlier values of a record",
    answers={200: RevisionsSchema},
    problems=(404, 421, 503),
    parameters={"kind": {"enum": sorted(spec.kinds())}, "id_": {"pattern": UUID_PATTERN}},
)
def revisions(kind: str, id_: str) -> Response:
    if kind not in spec.kinds() or not is_id(id_):
        raise ApiError(404, "no_record", "There is no such record.")
    with read_transaction() as connection:
        stored = load_revisions(connection, current_owner(), (kind, id_))
    if stored is None:
        raise ApiError(404, "no_record", "There is no such record.")
    found = [
        {**one, "device": clock_device(one["clock"]), "at_ms": clock_ms(one["clock"])}
        for one in stored
    ]
    answer = RevisionsSchema().dump({"kind": kind, "id": id_, "revisions": found})
    return Response(to_json(answer), mimetype="application/json")


@cache
def _example_text(language: str) -> str:
    from webapp.archive.example import read_example

    records = [{**one, "fields_": one["fields"]} for one in read_example(language).records()]
    return to_json(ExampleSchema().dump({"format": 1, "records": records}))


@blueprint.get("/api/example")
@public
@operation(
    "The example notebook, in English if a language is not known",
    answers={200: ExampleSchema},
    problems=(421, 503),
    parameters={"language": {"type": "string"}},
)
def example() -> Response:
    asked = request.args.get("language")
    language = asked if asked in spec.vocabulary("language") else "en"
    return Response(_example_text(language), mimetype="application/json")
