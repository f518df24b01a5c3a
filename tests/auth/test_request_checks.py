"""Cross-site requests are rejected."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient

from webapp.auth.request_checks import host_name

SYNC = {"format": 1, "device": "aaaaaaaa", "cursor": 0}


@pytest.mark.parametrize(
    "host", ["localhost", "127.0.0.1:8000", "[::1]:8000", "[::1]", "LocalHost:1"]
)
def test_local_host_names_are_accepted(client: FlaskClient, host: str) -> None:
    assert client.get("/healthz", headers={"Host": host}).status_code == 200


@pytest.mark.parametrize(
    "host",
    ["wine.example", "localhost.wine.example", "127.0.0.1.wine.example", "", "10.0.0.1", "[::2]"],
)
@pytest.mark.parametrize("path", ["/", "/api/palate", "/sw.js", "/nowhere"])
def test_unknown_host_name_is_rejected(client: FlaskClient, host: str, path: str) -> None:
    answer = client.get(path, headers={"Host": host})
    assert (answer.status_code, answer.json["code"]) == (421, "unknown_host")


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "http://wine.example"},
        {"Origin": "https://localhost"} | {"Host": "localhost:8000"},
        {"Origin": "http://localhost:9999", "Host": "localhost:8000"},
        {"Origin": "null"},
        {"Origin": ""},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
    ],
)
def test_cross_site_write_is_rejected(client: FlaskClient, headers: dict[str, str]) -> None:
    answer = client.post("/api/sync", json=SYNC, headers=headers)
    assert (answer.status_code, answer.json["code"]) == (403, "cross_origin")


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"Origin": "http://localhost"},
        {"Origin": "http://localhost:8000", "Host": "localhost:8000"},
        {"Sec-Fetch-Site": "same-origin"},
        {"Sec-Fetch-Site": "none"},
    ],
)
def test_same_origin_write_is_accepted(client: FlaskClient, headers: dict[str, str]) -> None:
    assert client.post("/api/sync", json=SYNC, headers=headers).status_code == 200


def test_host_name_is_compared_without_its_port() -> None:
    assert [host_name(host) for host in ("[::1]:80", "A:80", "a", "")] == ["[::1]", "a", "a", ""]
