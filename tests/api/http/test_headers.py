"""Security and cache headers of every response, errors included."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient

PATHS = ["/", "/app.js", "/sw.js", "/api/me", "/api/nowhere", "/nowhere", "/healthz", "/api/export"]


def policy(client: FlaskClient, path: str) -> dict[str, str]:
    value = client.get(path).headers["Content-Security-Policy"]
    return dict(part.split(" ", 1) for part in value.split("; "))


@pytest.mark.parametrize("path", PATHS)
def test_content_security_policy_is_strict(client: FlaskClient, path: str) -> None:
    result = policy(client, path)
    assert result["default-src"] == "'self'"
    assert "unsafe-inline" not in str(result)
    assert "'unsafe-eval'" not in str(result)
    assert not [source for source in result.values() if "http" in source or "*" in source]
    assert result["frame-ancestors"] == result["base-uri"] == result["object-src"] == "'none'"
    assert result["require-trusted-types-for"] == "'script'"
    assert result["trusted-types"] == "secondnose"


@pytest.mark.parametrize("path", PATHS)
def test_headers_disclose_nothing_to_other_sites(client: FlaskClient, path: str) -> None:
    headers = client.get(path).headers
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert headers["Cross-Origin-Opener-Policy"] == "same-origin"
    assert headers["Cross-Origin-Resource-Policy"] == "same-origin"
    assert "geolocation=()" in headers["Permissions-Policy"]
    assert "Access-Control-Allow-Origin" not in headers
    assert "Server" not in headers


@pytest.mark.parametrize("path", ["/api/me", "/api/devices", "/api/nowhere", "/api/export"])
def test_api_responses_are_not_cached(client: FlaskClient, path: str) -> None:
    assert client.get(path).headers["Cache-Control"] == "no-store"


@pytest.mark.parametrize("path", ["/api/me", "/api/nowhere", "/api/openapi.json", "/api/palate"])
def test_api_response_is_an_attachment_with_a_fixed_name(client: FlaskClient, path: str) -> None:
    assert client.get(path).headers["Content-Disposition"] == "attachment; filename=api.json"
    assert "Content-Disposition" not in client.get("/").headers


@pytest.mark.parametrize("path", ["/", "/api/me", "/api/sync", "/healthz", "/sw.js"])
@pytest.mark.parametrize("method", ["TRACE", "CONNECT", "PATCH", "PROPFIND"])
def test_unused_http_methods_are_rejected(client: FlaskClient, path: str, method: str) -> None:
    assert client.open(path, method=method).status_code in (403, 405)


@pytest.mark.parametrize("text", ["<script>alert(1)</script>", '"><img src=x onerror=y>'])
def test_markup_in_a_request_is_not_echoed_as_html(client: FlaskClient, text: str) -> None:
    for path in (f"/{text}", f"/api/{text}", f"/api/records/{text}/{text}/revisions"):
        answer = client.get(path)
        assert answer.mimetype == "application/problem+json"
        assert "<script" not in answer.text
        assert "<img" not in answer.text


def test_cross_origin_reads_are_blocked(client: FlaskClient) -> None:
    for site in ("cross-site", "same-site"):
        answer = client.get("/api/palate", headers={"Sec-Fetch-Site": site})
        assert (answer.status_code, answer.json["code"]) == (403, "cross_origin")
    assert client.get("/", headers={"Sec-Fetch-Site": "cross-site"}).status_code == 200


def test_cross_origin_preflight_allows_no_method(client: FlaskClient) -> None:
    answer = client.options("/api/sync", headers={"Origin": "https://wine.example"})
    assert "Access-Control-Allow-Methods" not in answer.headers
    assert "Access-Control-Allow-Credentials" not in answer.headers
