"""What every answer tells the browser, whatever the answer is."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient

PATHS = ["/", "/app.js", "/sw.js", "/api/me", "/api/nowhere", "/nowhere", "/healthz", "/api/export"]


def policy(client: FlaskClient, path: str) -> dict[str, str]:
    told = client.get(path).headers["Content-Security-Policy"]
    return dict(part.split(" ", 1) for part in told.split("; "))


@pytest.mark.parametrize("path", PATHS)
def test_nothing_runs_or_loads_from_anywhere_else(client: FlaskClient, path: str) -> None:
    told = policy(client, path)
    assert told["default-src"] == "'self'"
    assert "unsafe-inline" not in str(told)
    assert "'unsafe-eval'" not in str(told)
    assert not [source for source in told.values() if "http" in source or "*" in source]
    assert told["frame-ancestors"] == told["base-uri"] == told["object-src"] == "'none'"
    assert told["require-trusted-types-for"] == "'script'"
    assert told["trusted-types"] == "secondnose"


@pytest.mark.parametrize("path", PATHS)
def test_other_sites_learn_nothing(client: FlaskClient, path: str) -> None:
    headers = client.get(path).headers
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert headers["Cross-Origin-Opener-Policy"] == "same-origin"
    assert headers["Cross-Origin-Resource-Policy"] == "same-origin"
    assert "geolocation=()" in headers["Permissions-Policy"]
    assert "Access-Control-Allow-Origin" not in headers
    assert "Server" not in headers


@pytest.mark.parametrize("path", ["/api/me", "/api/devices", "/api/nowhere", "/api/export"])
def test_what_the_book_says_is_kept_by_no_cache(client: FlaskClient, path: str) -> None:
    assert client.get(path).headers["Cache-Control"] == "no-store"


@pytest.mark.parametrize("path", ["/api/me", "/api/nowhere", "/api/openapi.json", "/api/palate"])
def test_an_answer_of_the_api_is_a_file_with_a_fixed_name(client: FlaskClient, path: str) -> None:
    assert client.get(path).headers["Content-Disposition"] == "attachment; filename=api.json"
    assert "Content-Disposition" not in client.get("/").headers


@pytest.mark.parametrize("path", ["/", "/api/me", "/api/sync", "/healthz", "/sw.js"])
@pytest.mark.parametrize("method", ["TRACE", "CONNECT", "PATCH", "PROPFIND"])
def test_methods_that_nothing_here_uses_are_refused(
    client: FlaskClient, path: str, method: str
) -> None:
    assert client.open(path, method=method).status_code in (403, 405)


@pytest.mark.parametrize("text", ["<script>alert(1)</script>", '"><img src=x onerror=y>'])
def test_markup_that_is_sent_never_comes_back_as_a_page(client: FlaskClient, text: str) -> None:
    for path in (f"/{text}", f"/api/{text}", f"/api/records/{text}/{text}/revisions"):
        answer = client.get(path)
        assert answer.mimetype == "application/problem+json"
        assert "<script" not in answer.text
        assert "<img" not in answer.text


def test_a_site_elsewhere_cannot_even_read(client: FlaskClient) -> None:
    for site in ("cross-site", "same-site"):
        answer = client.get("/api/palate", headers={"Sec-Fetch-Site": site})
        assert (answer.status_code, answer.json["code"]) == (403, "cross_origin")
    assert client.get("/", headers={"Sec-Fetch-Site": "cross-site"}).status_code == 200


def test_a_page_elsewhere_may_not_ask_first(client: FlaskClient) -> None:
    answer = client.options("/api/sync", headers={"Origin": "https://wine.example"})
    assert "Access-Control-Allow-Methods" not in answer.headers
    assert "Access-Control-Allow-Credentials" not in answer.headers
