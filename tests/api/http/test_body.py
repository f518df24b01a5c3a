"""Request bodies are read within limits, whatever their headers claim."""

from __future__ import annotations

import gzip
import json
import zlib

import pytest
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st

from tests.conftest import AppMaker

SYNC = {"format": 1, "device": "aaaaaaaa", "cursor": 0}
JSON = {"Content-Type": "application/json"}
GZIP = {**JSON, "Content-Encoding": "gzip"}


def test_a_gzipped_body_is_read(client: FlaskClient) -> None:
    body = gzip.compress(json.dumps(SYNC).encode())
    assert client.post("/api/sync", data=body, headers=GZIP).status_code == 200


def test_response_is_gzipped_when_accepted(client: FlaskClient) -> None:
    answer = client.get("/api/openapi.json", headers={"Accept-Encoding": "gzip"})
    assert answer.headers["Content-Encoding"] == "gzip"
    assert json.loads(gzip.decompress(answer.data))["openapi"] == "3.1.0"


@pytest.mark.parametrize(
    "body",
    [
        b"no gzip at all",
        b"",
        gzip.compress(b"{}")[:-4],
        gzip.compress(b"{}") + b"more",
        gzip.compress(b"{}") + gzip.compress(b"{}"),
        zlib.compress(b"{}"),
    ],
    ids=["no gzip", "empty", "cut off", "more behind it", "two in one", "zlib"],
)
def test_truncated_or_trailing_gzip_is_rejected(client: FlaskClient, body: bytes) -> None:
    answer = client.post("/api/sync", data=body, headers=GZIP)
    assert (answer.status_code, answer.json["code"]) == (400, "not_gzip")


def test_a_gzip_bomb_is_not_unpacked(client: FlaskClient) -> None:
    bomb = gzip.compress(b" " * 200_000_000)
    assert len(bomb) < 250_000
    answer = client.post("/api/sync", data=bomb, headers=GZIP)
    assert (answer.status_code, answer.json["code"]) == (413, "too_large")


def test_body_over_the_limit_is_rejected(make_app: AppMaker) -> None:
    client = make_app(MAX_SYNC_BYTES=1000).test_client()
    assert client.post("/api/sync", data=b" " * 1001, headers=JSON).status_code == 413
    assert (
        client.post("/api/sync", data=json.dumps(SYNC).ljust(1000), headers=JSON).status_code == 200
    )


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"plums",
        b'{"format": NaN}',
        b'{"cursor": -Infinity}',
        b'{"format": 1',
        b"[" * 200_000,
        b'{"a":' * 200_000,
        b"9" * 10_000,
        b"\xff\xfe{}",
        json.dumps(SYNC).encode("utf-16"),
        b"\xef\xbb\xbf{}",
    ],
)
def test_body_that_is_not_json_is_rejected(client: FlaskClient, body: bytes) -> None:
    answer = client.post("/api/sync", data=body, headers=JSON)
    assert (answer.status_code, answer.json["code"]) == (400, "not_json")
    assert answer.mimetype == "application/problem+json"


@pytest.mark.parametrize("media_type", ["text/plain", "application/x-www-form-urlencoded", ""])
def test_only_the_json_media_type_is_accepted(client: FlaskClient, media_type: str) -> None:
    """A cross-site form can send these types without a preflight, but not application/json."""
    answer = client.post("/api/sync", data=json.dumps(SYNC), headers={"Content-Type": media_type})
    assert answer.status_code == 415


def test_an_unknown_encoding_is_refused(client: FlaskClient) -> None:
    answer = client.post("/api/sync", data=b"{}", headers={**JSON, "Content-Encoding": "br"})
    assert answer.status_code == 415


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("device", None),
        ("device", "short"),
        ("device", "UPPERCASE"),
        ("device", "aaaaaaaa\n"),
        ("device", 12345678),
        ("cursor", -1),
        ("cursor", 1.5),
        ("cursor", True),
        ("cursor", "3"),
        ("cursor", 2**53),
        ("limit", 1001),
        ("limit", None),
        ("changes", {}),
        ("changes", [{}] * 501),
        ("epoch", 3),
        ("token", "x" * 65),
    ],
)
def test_a_wrong_envelope_is_refused_by_field(
    client: FlaskClient, field: str, value: object
) -> None:
    answer = client.post("/api/sync", json={**SYNC, field: value})
    assert (answer.status_code, answer.json["code"]) == (400, "invalid")
    assert [*answer.json["errors"]] == [field]


@pytest.mark.parametrize("number", [0, 2, 99])
def test_unsupported_format_version_is_reported(client: FlaskClient, number: int) -> None:
    answer = client.post("/api/sync", json={**SYNC, "format": number})
    assert (answer.status_code, answer.json["code"]) == (409, "format")


anything = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(),
    lambda inner: (
        st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4)
    ),
)
KNOWN = st.sampled_from(["device", "epoch", "token", "cursor", "limit", "changes", "format"])


@given(st.dictionaries(KNOWN, anything))
def test_no_envelope_is_answered_with_500(client: FlaskClient, values: dict[str, object]) -> None:
    answer = client.post("/api/sync", data=json.dumps({**SYNC, **values}), headers=JSON)
    assert answer.status_code in (200, 400, 409)


@given(
    st.lists(
        anything
        | st.fixed_dictionaries(
            {"kind": st.just("visit"), "id": anything, "fields": anything, "clocks": anything}
        ),
        max_size=5,
    )
)
def test_no_change_is_answered_with_500(client: FlaskClient, changes: list[object]) -> None:
    answer = client.post("/api/sync", data=json.dumps({**SYNC, "changes": changes}), headers=JSON)
    assert answer.status_code == 200
    assert [one["outcome"] for one in answer.json["outcomes"]] == ["refused"] * len(changes)
