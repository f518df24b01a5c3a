"""The envelopes of sync request and response. `parse` validates the changes one by one."""

from __future__ import annotations

from typing import Any

from marshmallow import EXCLUDE, Schema, ValidationError, fields, post_load, validate

from webapp.records.schemas import RecordSchema
from webapp.sync.hlc import DEVICE
from webapp.sync.service import MAX_CHANGES, MAX_PAGE_LENGTH, SyncRequest

MAX_SAFE_INTEGER = 2**53 - 1


class WholeNumber(fields.Field[int]):
    """A JSON number without a fraction, within bounds: accepts 3.0, rejects true and "3"."""

    def __init__(self, minimum: int, maximum: int, **options: Any) -> None:
        bounds = {"type": "integer", "minimum": minimum, "maximum": maximum}
        super().__init__(metadata=bounds, **options)
        self.minimum, self.maximum = minimum, maximum

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> int:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise ValidationError("not_integer")
        if not self.minimum <= value <= self.maximum or value % 1:
            raise ValidationError("not_integer")
        return int(value)


class Changes(fields.List[Any]):
    """A list of unvalidated values, which `parse` validates."""

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> list[Any]:
        if not isinstance(value, list):
            raise self.make_error("invalid")
        return value


class SyncRequestSchema(Schema):
    """The request of a phone."""

    class Meta:
        unknown = EXCLUDE

    format = WholeNumber(1, 1, required=True)
    device = fields.String(
        required=True,
        validate=validate.Regexp(f"^{DEVICE.pattern}\\Z", error="bad_device"),
        metadata={"pattern": f"^{DEVICE.pattern}$"},
    )
    epoch = fields.String(
        load_default=None, allow_none=True, validate=validate.Length(max=64, error="too_long")
    )
    token = fields.String(
        load_default=None, allow_none=True, validate=validate.Length(max=64, error="too_long")
    )
    cursor = WholeNumber(0, MAX_SAFE_INTEGER, required=True)
    limit = WholeNumber(0, MAX_PAGE_LENGTH, load_default=MAX_PAGE_LENGTH)
    changes = Changes(
        fields.Raw(allow_none=True, metadata={"description": "A Record with its changed fields."}),
        load_default=list,
        validate=validate.Length(max=MAX_CHANGES, error="too_many"),
    )

    @post_load
    def _to_request(self, data: dict[str, Any], **kwargs: Any) -> SyncRequest:
        return SyncRequest(
            device=data["device"],
            epoch=data["epoch"],
            token=data["token"],
            cursor=data["cursor"],
            limit=data["limit"],
            changes=data["changes"],
        )


class OutcomeSchema(Schema):
    """The result of one change; results have the order of the changes."""

    id = fields.String(required=True, allow_none=True)
    outcome = fields.String(
        required=True, metadata={"enum": ["applied", "duplicate", "refused", "restamp"]}
    )
    errors = fields.Dict(keys=fields.String(), values=fields.List(fields.Dict()))


class SyncAnswerSchema(Schema):
    """The response, for documentation; `SyncResponse.text` writes it."""

    format = fields.Integer(required=True)
    epoch = fields.String(required=True)
    token = fields.String(required=True)
    cursor = fields.Integer(required=True)
    more = fields.Boolean(required=True)
    remaining = fields.Integer(
        required=True, metadata={"description": "How many records stand after the cursor."}
    )
    now = fields.Integer(required=True)
    rewound = fields.Boolean(required=True)
    fork = fields.Boolean(required=True)
    outcomes = fields.List(fields.Nested(OutcomeSchema), required=True)
    changes = fields.List(fields.Nested(RecordSchema), required=True)
