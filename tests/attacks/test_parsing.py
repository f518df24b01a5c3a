"""Requests are unambiguous or rejected: paths, headers, duplicate names and encodings."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest

from tests.attacks.servers import (
    BROWSER_KEY,
    SERVERS,
    WORDS,
    Server,
    connect,
    head,
    read_to_end,
    running,
)

JSON = "Content-Type: application/json"
KEY = next(f"{name}: {value}" for name, value in BROWSER_KEY.items())
SIGN_IN = {"name": "anna", "passphrase": WORDS["anna"]}


@pytest.fixture(scope="module", params=SERVERS)
def server(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator:
    folder = tmp_path_factory.mktemp("parsing")
    with running(folder, request.param, workers=1) as running_server:
        yield running_server


@pytest.fixture(scope="module")
def cookies(server: Server) -> dict[str, str]:
    """Return the Cookie header of each owner."""
    return {name: server.sign_in(name)["Cookie"] for name in WORDS}


def answer(server: Server, asked: bytes) -> tuple[int, bytes]:
    """Send raw bytes and return (status, rest) of the only response."""
    with connect(server) as line:
        line.sendall(asked)
        result = read_to_end(line)
    assert result.count(b"HTTP/1.1 ") + result.count(b"HTTP/1.0 ") == 1, result
    return int(result.split()[1]), result


def owner_in(text: bytes) -> str:
    """Return the owner's name from a response of /api/me or /api/sign-in."""
    return str(json.loads(text.split(b"\r\n\r\n", 1)[1])["owner"]["name"])


def me(*lines: str) -> bytes:
    return head("GET", "/api/me", *lines, "Connection: close")


def sign_in(body: bytes, path: str = "/api/sign-in", kind: str = JSON) -> bytes:
    lines = (kind, KEY, f"Content-Length: {len(body)}", "Connection: close")
    return head("POST", path, *lines) + body


def test_query_string_changes_no_request(server: Server, cookies: dict[str, str]) -> None:
    query = "?name=bruno&owner=bruno&passphrase=x&name=bruno&_method=DELETE"
    body = json.dumps(SIGN_IN).encode()
    status, result = answer(server, sign_in(body, f"/api/sign-in{query}"))
    assert (status, owner_in(result)) == (200, "anna")
    cookie = f"Cookie: {cookies['anna']}"
    asked = head("GET", f"/api/me{query}", cookie, KEY, "Connection: close")
    status, result = answer(server, asked)
    assert (status, owner_in(result)) == (200, "anna")


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("application/x-www-form-urlencoded", b"name=anna&passphrase=x&name=bruno"),
        ("multipart/form-data; boundary=x", b"--x--"),
        ("text/plain", json.dumps(SIGN_IN).encode()),
        ("application/xml", b"<name>anna</name>"),
    ],
)
def test_form_bodies_are_refused(server: Server, kind: str, body: bytes) -> None:
    assert answer(server, sign_in(body, kind=f"Content-Type: {kind}"))[0] == 415


def test_repeated_json_name_has_one_meaning(server: Server) -> None:
    """The last one counts, as in the JSON parsers of browsers."""
    text = json.dumps(SIGN_IN)
    doubled = f'{{"name": "bruno", "passphrase": "x", {text[1:]}'.encode()
    status, found = answer(server, sign_in(doubled))
    assert (status, owner_in(found)) == (200, "anna")


def test_list_in_place_of_a_text_is_refused(server: Server) -> None:
    body = json.dumps({**SIGN_IN, "name": ["anna", "bruno"]}).encode()
    status, result = answer(server, sign_in(body))
    assert (status, b'"invalid"' in result) == (400, True)


def test_repeated_owner_or_key_header_is_refused(server: Server, cookies: dict[str, str]) -> None:
    cookie = f"Cookie: {cookies['anna']}"
    _, result = answer(server, me(cookie, KEY))
    uid = json.loads(result.split(b"\r\n\r\n", 1)[1])["owner"]["uid"]
    owner = f"Second-Nose-Owner: {uid}"
    assert answer(server, me(cookie, KEY, owner))[0] == 200
    assert answer(server, me(cookie, KEY, owner, "Second-Nose-Owner: " + "0" * 20))[0] == 409
    assert answer(server, me(cookie, KEY, "Second-Nose-Owner: " + "0" * 20, owner))[0] == 409
    other = "Second-Nose-Key: another key"
    assert {answer(server, me(cookie, *keys))[0] for keys in ((KEY, other), (other, KEY))} == {401}


def test_second_session_of_a_request_opens_nothing(server: Server, cookies: dict[str, str]) -> None:
    """Of two cookies in one header the first counts; two headers authenticate nobody."""
    anna, bruno = cookies["anna"], cookies["bruno"]
    status, result = answer(server, me(f"Cookie: {anna}; {bruno}", KEY))
    assert (status, owner_in(result)) == (200, "anna")
    assert answer(server, me(f"Cookie: {anna}", f"Cookie: {bruno}", KEY))[0] == 401


@pytest.mark.parametrize(
    ("path", "status"),
    [
        ("/api/me", 200),
        ("/api/%6d%65", 200),
        ("/%61pi/me", 200),
        ("/healthz/../api/me", 404),
        ("/healthz/%2e%2e/api/me", 404),
        ("/api//me", 404),
        ("/api/me/", 404),
        ("/api/me;x=1", 404),
        ("/api/me%00", 404),
        ("/api/me%2f", 404),
        ("/api/%c0%ae%c0%ae/me", 404),
        ("/api/%ff", 404),
        ("/API/me", 404),
        ("/..%2f..%2fetc/passwd", 404),
        ("/packed/..%2f..%2fwebapp/config.py", 404),
        ("/packed/..%5c..%5cwebapp/config.py", 404),
        ("/file:///etc/passwd", 404),
    ],
)
def test_path_is_decoded_once_and_not_resolved(
    server: Server, cookies: dict[str, str], path: str, status: int
) -> None:
    """The requests are signed in, because /api/ otherwise always answers 401."""
    cookie = f"Cookie: {cookies['anna']}"
    found, result = answer(server, head("GET", path, cookie, KEY, "Connection: close"))
    # No redirect may pass the path on to another parser.
    assert b"\r\nlocation:" not in result.lower()
    assert found == status


@pytest.mark.parametrize("name", ["wine.example", "localhost@wine.example"])
def test_absolute_address_names_no_other_host(server: Server, name: str) -> None:
    asked = head("GET", f"http://{name}/api/me", KEY, "Connection: close")
    assert answer(server, asked)[0] in (400, 401, 404, 421)
    asked = head("GET", "http://localhost/api/me", KEY, "Connection: close")
    assert answer(server, asked.replace(b"Host: localhost", b"Host: " + name.encode()))[0] == 421


@pytest.mark.parametrize("encoding", ["utf-16", "utf-32", "utf-7", "utf-8-sig", "latin-1"])
def test_json_is_utf_8_whatever_it_claims(server: Server, encoding: str) -> None:
    body = json.dumps({**SIGN_IN, "name": "ann\u00e9"}, ensure_ascii=False).encode(encoding)
    kind = f"{JSON}; charset={encoding}"
    status, result = answer(server, sign_in(body, kind=kind))
    # UTF-7 is ASCII, so it parses as UTF-8 and only the owner is unknown.
    assert (status, b"set-cookie" in result.lower()) == (401 if encoding == "utf-7" else 400, False)


def test_charset_of_the_header_is_not_used(server: Server) -> None:
    body = json.dumps(SIGN_IN).encode()
    status, result = answer(server, sign_in(body, kind=f"{JSON}; charset=utf-16"))
    assert (status, owner_in(result)) == (200, "anna")


@pytest.mark.parametrize(
    ("lines", "statuses"),
    [
        (["GET /api/example HTTP/1.1", "Host: localhost"], {200}),
        (["GET /api/example HTTP/1.1"], {400, 421}),
        (["GET /api/example HTTP/1.1", "Host: localhost", "Host: wine.example"], {400, 421}),
        (["GET /api/example HTTP/1.1", "Host: localhost", "Cookie: a\0b"], {400}),
        (["GET /api/example HTTP/1.1", "Host: localhost", "X Y: 1"], {400}),
        (["GET /api/example HTTP/1.1", "Host: localhost", "X : 1"], {400}),
        (["GET /api/example HTTP/1.1", "Host: localhost", "X: " + "a" * 300_000], {400, 431}),
        (["GET /" + "a" * 20_000 + " HTTP/1.1", "Host: localhost"], {400, 404, 414, 431}),
        (["POST /api/sync HTTP/1.1", "Host: localhost", *["Content-Length: 2"] * 2], {400}),
        (["POST /api/sync HTTP/1.1", "Host: localhost", "Content-Length: -2"], {400}),
        (["POST /api/sync HTTP/1.1", "Host: localhost", "Content-Length: +2"], {400}),
        (["TRACE / HTTP/1.1", "Host: localhost"], {405}),
        (["CONNECT wine.example:443 HTTP/1.1", "Host: localhost"], {400, 404, 405}),
        (["plums"], {400}),
    ],
    ids=lambda result: " ".join(result)[:60] if isinstance(result, list) else "",
)
def test_malformed_head_is_refused(server: Server, lines: list[str], statuses: set[int]) -> None:
    asked = "\r\n".join([*lines, "Connection: close", "", ""]).encode()
    status, result = answer(server, asked)
    assert status in statuses
    assert server.ask("GET", "/healthz")[0] == 200
    if status != 200:
        assert b"Traceback" not in result


def test_headers_of_the_server_tell_no_version(server: Server) -> None:
    for path in ("/", "/api/me", "/nowhere", "/sw.js"):
        _, _, headers = server.ask("GET", path)
        values: Any = {name.lower(): value for name, value in headers.items()}
        assert not any(one.isdigit() for one in values.get("server", ""))
        assert "x-powered-by" not in values
        assert values["x-content-type-options"] == "nosniff"
        assert "frame-ancestors 'none'" in values["content-security-policy"]
