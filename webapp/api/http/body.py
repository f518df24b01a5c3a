"""Reading what a request carries, within limits and without trusting what it says of itself."""

from __future__ import annotations

import json
import zlib
from typing import Any, NoReturn, TypeVar

from flask import request
from marshmallow import Schema, ValidationError
from werkzeug.exceptions import ClientDisconnected

from webapp.api.http.errors import BookError

_GZIP = 31
T = TypeVar("T")


def raw_body(most_bytes: int) -> bytes:
    """The body, gunzipped if need be, of `most_bytes` at most on either side of that."""
    request.max_content_length = most_bytes
    try:
        body = request.get_data(cache=False)
    except ClientDisconnected:
        raise BookError(400, "cut_off", "The request broke off before its end.") from None
    encoding = request.headers.get("Content-Encoding", "identity").strip().lower()
    if encoding == "gzip":
        return _gunzip(body, most_bytes)
    if encoding != "identity":
        raise BookError(415, "encoding", "Send the body plain or with gzip.")
    return body


def _gunzip(body: bytes, most_bytes: int) -> bytes:
    unpacker = zlib.decompressobj(_GZIP)
    try:
        plain = unpacker.decompress(body, most_bytes + 1)
    except zlib.error:
        raise BookError(400, "not_gzip", "The body is not gzip, though it says so.") from None
    if len(plain) > most_bytes:
        raise BookError(413, "too_large", f"The unpacked body is over {most_bytes} bytes.")
    if not unpacker.eof or unpacker.unused_data:
        raise BookError(400, "not_gzip", "The gzip body is cut off or has more behind it.")
    return plain


def json_body(most_bytes: int) -> Any:
    """The JSON value of the body: UTF-8, no NaN or infinity."""
    if request.mimetype != "application/json":
        raise BookError(415, "media_type", "Send application/json.")
    body = raw_body(most_bytes)
    try:
        return json.loads(body.decode("utf-8"), parse_constant=_refuse_constant)
    except (ValueError, RecursionError):
        raise BookError(400, "not_json", "The body is not JSON that can be read.") from None


def _refuse_constant(name: str) -> NoReturn:
    raise ValueError(name)


def load_with(schema: Schema, value: Any) -> Any:
    """The value read by a schema. Raises BookError with the schema's findings by field."""
    try:
        return schema.load(value)
    except ValidationError as error:
        raise BookError(
            400,
            "invalid",
            "Some fields are not as they must be.",
            errors=error.messages,
        ) from None
