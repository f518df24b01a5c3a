"""Bodies that are too large or unauthenticated are rejected before they are read."""

from __future__ import annotations

import json
from collections.abc import Iterator

import pytest

from tests.attacks.servers import SERVERS, Server, connect, head, read_to_end, running

MEGABYTE = 1_000_000
PHOTO = "/api/photos/0192f0c1-2a3b-7c4d-8e5f-60718293a4b5"
IMPORT = "/api/import"
ZIP = "Content-Type: application/zip"
JSON = "Content-Type: application/json"
JPEG = "Content-Type: image/jpeg"


@pytest.fixture(scope="module", params=SERVERS)
def server(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator:
    with running(tmp_path_factory.mktemp("bodies"), request.param) as running_server:
        yield running_server


def refused_after(server: Server, asked: bytes, chunk: bytes, most_bytes: int) -> tuple[int, bytes]:
    """Send until the server stops reading; return (bytes sent, response)."""
    sent = 0
    with connect(server) as line:
        try:
            line.sendall(asked)
            while sent < most_bytes:
                line.sendall(chunk)
                sent += len(chunk)
                # Count only what the server has stored, not what the socket buffers contain.
                assert server.scratch_bytes() < MEGABYTE
        except (BrokenPipeError, ConnectionResetError):
            pass
        return sent, read_to_end(line)


@pytest.mark.parametrize(
    ("method", "path", "kind"),
    [
        ("POST", IMPORT, ZIP),
        ("PUT", PHOTO, JPEG),
        ("POST", "/api/sync", JSON),
        ("POST", "/api/sign-in", JSON),
    ],
)
def test_large_body_without_sign_in_is_answered_unread(
    server: Server, method: str, path: str, kind: str
) -> None:
    lines = [connect(server) for _ in range(3)]
    for line in lines:
        line.sendall(head(method, path, kind, f"Content-Length: {300 * MEGABYTE}"))
    answers = [read_to_end(line) for line in lines]
    for line in lines:
        line.close()
    assert {answer.split()[1] for answer in answers} <= {b"401", b"413"}
    assert server.scratch_bytes() < MEGABYTE


def test_slow_unauthenticated_body_writes_no_disk(server: Server) -> None:
    asked = head("POST", IMPORT, ZIP, f"Content-Length: {300 * MEGABYTE}")
    _, answer = refused_after(server, asked, b"x" * MEGABYTE, 300 * MEGABYTE)
    assert answer.split()[1] == b"401"
    assert json.loads(answer.split(b"\r\n\r\n", 1)[1])["code"] == "sign_in"


def test_chunked_unauthenticated_body_writes_no_disk(server: Server) -> None:
    chunk = b"%x\r\n" % MEGABYTE + b"x" * MEGABYTE + b"\r\n"
    asked = head("POST", IMPORT, ZIP, "Transfer-Encoding: chunked")
    _, answer = refused_after(server, asked, chunk, 300 * MEGABYTE)
    assert answer.split()[1] == b"401"


def test_invented_cookie_raises_no_body_limit(server: Server) -> None:
    lines = [IMPORT, ZIP, f"Content-Length: {300 * MEGABYTE}", "Cookie: secondnose=" + "a" * 43]
    with connect(server) as line:
        line.sendall(head("POST", *lines))
        assert read_to_end(line).split()[1] == b"401"


@pytest.mark.parametrize(
    ("method", "path", "kind", "most_bytes"),
    [
        ("POST", "/api/sync", JSON, 8 * MEGABYTE),
        ("PUT", PHOTO, JPEG, 20 * MEGABYTE),
        ("POST", IMPORT, ZIP, 2_000 * MEGABYTE),
        ("POST", "/api/sign-in", JSON, 16_384),
        ("POST", "/api/pairings", JSON, 16_384),
        ("POST", "/api/nothing", JSON, 16_384),
    ],
)
def test_each_route_has_its_own_limit(
    server: Server, method: str, path: str, kind: str, most_bytes: int
) -> None:
    cookie = server.signed_in("anna")
    with connect(server) as line:
        line.sendall(head(method, path, kind, cookie, f"Content-Length: {most_bytes + 1}"))
        answer = read_to_end(line)
    payload = json.loads(answer.split(b"\r\n\r\n", 1)[1])
    assert (payload["status"], payload["code"]) == (413, "request_entity_too_large")


@pytest.mark.parametrize(
    ("method", "path", "kind", "most_bytes"),
    [
        ("POST", "/api/sync", JSON, 8 * MEGABYTE),
        ("PUT", PHOTO, JPEG, 20 * MEGABYTE),
        ("POST", "/api/sign-in", JSON, 16_384),
    ],
)
def test_chunked_body_is_limited_while_it_arrives(
    server: Server, method: str, path: str, kind: str, most_bytes: int
) -> None:
    cookie = server.signed_in("anna")
    chunk = b"%x\r\n" % MEGABYTE + b"x" * MEGABYTE + b"\r\n"
    with connect(server) as line:
        line.sendall(head(method, path, kind, cookie, "Transfer-Encoding: chunked"))
        try:
            for _ in range(60):
                line.sendall(chunk)
                assert server.scratch_bytes() < most_bytes + 2 * MEGABYTE
        except (BrokenPipeError, ConnectionResetError):
            pass
        assert read_to_end(line).split()[1] == b"413"
    assert server.scratch_bytes() < MEGABYTE


def test_signed_in_client_receives_100_continue(server: Server) -> None:
    body = json.dumps({"format": 1, "device": "aaaaaaaa", "cursor": 0, "changes": []}).encode()
    body += b" " * 20_000
    items = [JSON, f"Content-Length: {len(body)}", "Expect: 100-continue", "Connection: close"]
    with connect(server) as line:
        line.sendall(head("POST", "/api/sync", *items))
        assert read_to_end(line).split()[1] == b"401"
    items.append(server.signed_in("anna"))
    with connect(server) as line:
        line.sendall(head("POST", "/api/sync", *items))
        assert line.recv(65_536).split()[1] == b"100"
        line.sendall(body)
        assert read_to_end(line).split()[1] == b"200"


def test_large_body_of_a_signed_in_client_arrives(server: Server) -> None:
    change = {
        "kind": "tasting",
        "id": "0192f0c1-2a3b-7c4d-8e5f-60718293a4b5",
        "fields": {"words": "plums " * 500},
        "clocks": {"words": "1790000000000-0000-aaaaaaaa"},
    }
    body = {"format": 1, "device": "aaaaaaaa", "cursor": 0, "changes": [change] * 400}
    headers = {"Content-Type": "application/json", **server.sign_in("anna")}
    status, answer, _ = server.ask("POST", "/api/sync", json.dumps(body).encode(), **headers)
    assert (status, answer["cursor"]) == (200, 1)


@pytest.mark.parametrize(
    "lines",
    [
        ["Transfer-Encoding: chunked", "Content-Length: 5"],
        ["Content-Length: 5", "Transfer-Encoding: chunked"],
        ["Content-Length: 5", "Content-Length: 0"],
        ["Transfer-Encoding: chunked, identity"],
        ["Transfer-Encoding:\x0bchunked", "Content-Length: 5"],
    ],
)
def test_body_with_two_lengths_is_answered_once(server: Server, lines: list[str]) -> None:
    smuggled = head("GET", "/healthz")
    with connect(server) as line:
        line.sendall(head("POST", "/api/sync", JSON, *lines) + b"0\r\n\r\n" + smuggled)
        answer = read_to_end(line)
    assert answer.count(b"HTTP/1.1 ") + answer.count(b"HTTP/1.0 ") == 1
    assert answer.split()[1] in (b"400", b"501")
