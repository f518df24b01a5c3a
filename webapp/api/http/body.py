"""Reads request bodies within limits, without trusting the declared length or encoding."""

from __future__ import annotations

import json
import zlib
from typing import Any, NoReturn, TypeVar

from flask import request
from marshmallow import Schema, ValidationError
from werkzeug.exceptions import ClientDisconnected

from webapp.api.http.errors import ApiError

_GZIP = 31
T = TypeVar("T")


def raw_body(max_bytes: int) -> bytes:
    """Return the body, gunzipped if necessary; `max_bytes` limits both forms."""
    request.max_content_length = max_bytes
    try:
        body = request.get_data(cache=False)
    except ClientDisconnected:
        raise ApiError(400, "cut_off", "The request is incomplete.") from None
    encoding = request.headers.get("Content-Encoding", "identity").strip().lower()
    if encoding == "gzip":
        return _gunzip(body, max_bytes)
    if encoding != "identity":
        raise ApiError(415, "encoding", "Send the body plain or with gzip.")
    return body


def _gunzip(body: bytes, max_bytes: int) -> bytes:
    unpacker = zlib.decompressobj(_GZIP)
    try:
        plain = unpacker.decompress(body, max_bytes + 1)
    except zlib.error:
        raise ApiError(400, "not_gzip", "The body is not valid gzip.") from None
    if len(plain) > max_bytes:
        raise ApiError(413, "too_large", f"The unpacked body is over {max_bytes} bytes.")
    if not unpacker.eof or unpacker.unused_data:
        raise ApiError(400, "not_gzip", "The gzip body is incomplete or has trailing data.")
    return plain


def json_body(max_bytes: int) -> Any:
    """Return the JSON value of the body, which must be UTF-8 without NaN or infinity."""
    if request.mimetype != "application/json":
        raise ApiError(415, "media_type", "Send application/json.")
    body = raw_body(max_bytes)
    try:
        return json.loads(body.decode("utf-8"), parse_constant=_reject_constant)
    except (ValueError, RecursionError):
        raise ApiError(400, "not_json", "The body is not valid JSON.") from None


def _reject_constant(name: str) -> NoReturn:
    raise ValueError(name)


def load(schema: Schema, value: Any) -> Any:
    """Load the value with a schema. Raises ApiError with the schema's errors by field."""
    try:
        return schema.load(value)
    except ValidationError as error:
        raise ApiError(
            400,
            "invalid",
            "Some fields are invalid.",
            errors=error.messages,
        ) from None
