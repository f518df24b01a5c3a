"""Guesses, floods and stored amounts are limited over HTTP, for all workers together."""

from __future__ import annotations

import io
import json
import math
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest
from PIL import Image

from tests.attacks.servers import (
    BROWSER_KEY,
    GUNICORN_FIRST,
    WORDS,
    Server,
    connect,
    head,
    read_to_end,
    running,
)

CLOCK = "1790000000000-0000-aaaaaaaa"
JSON = {"Content-Type": "application/json"}
# Low limits that a test reaches quickly; MOST_REQUESTS exceeds a worker's token batch.
MOST_REQUESTS, MOST_RECORDS, MOST_PHOTOS = 100, 5, 2
# All routes that take a passphrase; those of passkeys ask for it at /api/confirm.
GUESSED = ("/api/sign-in", "/api/confirm", "/api/passphrase", "/api/erase")


@pytest.fixture(scope="module", params=GUNICORN_FIRST)
def kind(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture
def server(kind: str, tmp_path: Any) -> Iterator[Server]:
    with running(tmp_path, kind) as running_server:
        yield running_server


@pytest.fixture(scope="module")
def strict(kind: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """Yield a server with low limits for everything."""
    settings = {"MAX_REQUESTS": MOST_REQUESTS, "MAX_RECORDS": MOST_RECORDS}
    settings["MAX_PHOTOS"] = MOST_PHOTOS
    with running(tmp_path_factory.mktemp("strict"), kind, **settings) as running_server:
        yield running_server


def status_from(server: Server, source: str, request: bytes) -> int:
    """Return the response status for a request sent from a local address."""
    with connect(server, source) as line:
        line.sendall(request)
        return int(read_to_end(line).split()[1])


def post(path: str, request: dict[str, str], **headers: str) -> bytes:
    body = json.dumps(request).encode()
    lines = {**JSON, **headers, "Content-Length": str(len(body)), "Connection": "close"}
    return head("POST", path, *(f"{name}: {value}" for name, value in lines.items())) + body


def uid_of(server: Server, who: dict[str, str]) -> str:
    return str(server.ask("GET", "/api/me", **who)[1]["owner"]["uid"])


def test_parallel_guesses_are_limited(server: Server) -> None:
    """Guess on every route that takes a passphrase, from many addresses at once."""
    here = server.sign_in("anna")
    stolen = server.sign_in("anna")
    guesses = [
        post("/api/sign-in", {"name": "anna", "passphrase": "wrong"}, **BROWSER_KEY),
        post("/api/sign-in", {"name": "ANNA", "passphrase": "wrong"}, **BROWSER_KEY),
        post("/api/confirm", {"passphrase": "wrong"}, **stolen),
        post("/api/passphrase", {"current": "wrong", "new": "nine loud copper kettles"}, **stolen),
        post("/api/erase", {"owner": uid_of(server, here), "passphrase": "wrong"}, **stolen),
    ]
    assert {guess.split()[1].decode() for guess in guesses} == set(GUESSED)
    asked = [
        (f"127.0.{place}.{1 + number}", guess)
        for number in range(60)
        for place, guess in enumerate(guesses, start=1)
    ]
    with ThreadPoolExecutor(8) as pool:
        found = list(pool.map(lambda one: status_from(server, *one), asked))
    assert set(found) == {401, 429}
    # Of 300 guesses within seconds, at most an hour's allowance reaches the hash.
    assert 0 < found.count(401) <= 100
    # On each of the five routes some of the 60 guesses are throttled.
    assert max(found[place::5].count(401) for place in range(5)) < 60
    assert server.ask("GET", "/api/me", **here)[0] == 200
    # The owner can still sign in from their own device and address.
    text = json.dumps({"name": "anna", "passphrase": WORDS["anna"]}).encode()
    assert server.ask("POST", "/api/sign-in", text, **JSON, **BROWSER_KEY)[0] == 200


def test_guessed_routes_are_those_that_take_a_passphrase(server: Server) -> None:
    """A new route that takes a passphrase belongs into the test of parallel guesses."""
    document = server.ask("GET", "/api/openapi.json", **server.sign_in("anna"))[1]
    schemas = document["components"]["schemas"]
    found = set()
    for path, verbs in document["paths"].items():
        for verb in verbs.values():
            for media in verb.get("requestBody", {}).get("content", {}).values():
                name = media["schema"].get("$ref", "").rpartition("/")[2]
                if {"passphrase", "current"} & set(schemas.get(name, {}).get("properties", ())):
                    found.add(path)
    assert found == set(GUESSED)


# Far more than are free, so that only a server without a limit lets them pass.
MOST_GUESSES = 200


def has_to_wait(server: Server, source: str, guess: bytes, request: bytes) -> bool:
    """Guess until the address has to wait, then ask; on a busy machine the wait may pass."""
    for _ in range(5):
        found = (status_from(server, source, guess) for _ in range(MOST_GUESSES))
        assert 429 in found, "The address never had to wait."
        if status_from(server, source, request) == 429:
            return True
    return False


def test_parallel_passkey_guesses_are_limited(server: Server) -> None:
    """Invented signatures count as attempts of their address, together with passphrases."""
    values = {
        "id": "AAAA",
        "client_data": "e30",
        "authenticator_data": "AAAA",
        "signature": "AAAA",
        "user_handle": "AAAA",
    }
    guess = post("/api/passkeys/sign-in", values, **BROWSER_KEY)
    start_s = time.monotonic()
    with ThreadPoolExecutor(8) as pool:
        found = list(pool.map(lambda _: status_from(server, "127.0.7.1", guess), range(60)))
    # Twenty are free; then waits of 2, 4, 8 seconds and so on may pass, in whole seconds.
    passed = int(math.log2(time.monotonic() - start_s + 3)) - 1
    assert 0 < found.count(401) <= 20 + passed
    assert set(found) == {401, 429}
    begin = post("/api/passkeys/sign-in/options", {}, **BROWSER_KEY)
    words = post("/api/sign-in", {"name": "anna", "passphrase": WORDS["anna"]}, **BROWSER_KEY)
    for request in (begin, words):
        assert has_to_wait(server, "127.0.7.1", guess, request)
        assert status_from(server, "127.0.8.1", request) == 200


def test_new_passphrase_ends_sessions_in_every_worker(server: Server) -> None:
    here, there = server.sign_in("anna"), server.sign_in("anna")
    # Enough requests that each worker has loaded the session.
    assert {server.ask("GET", "/api/me", **there)[0] for _ in range(20)} == {200}
    text = json.dumps({"current": WORDS["anna"], "new": "nine loud copper kettles"}).encode()
    status, _, headers = server.ask("POST", "/api/passphrase", text, **JSON, **here)
    assert status == 200
    renewed = {"Cookie": headers["Set-Cookie"].split(";")[0], **BROWSER_KEY}
    for path in ("/api/me", "/api/devices", "/api/palate") * 7:
        assert server.ask("GET", path, **there)[0] == 401
        assert server.ask("GET", path, **here)[0] == 401
        assert server.ask("GET", path, **renewed)[0] == 200


def test_requests_are_limited_over_all_workers(strict: Server) -> None:
    anna, bruno = strict.sign_in("anna"), strict.sign_in("bruno")
    cookie = [f"{name}: {value}" for name, value in anna.items()]
    request = head("GET", "/api/export", *cookie, "Connection: close")
    found = [
        status_from(strict, f"127.0.9.{1 + number % 9}", request)
        for number in range(MOST_REQUESTS + 60)
    ]
    assert found[0] == 200
    assert found[-20:] == [429] * 20
    # Unused tokens of a worker's batch may be lost, but none may be added.
    assert found.count(200) <= MOST_REQUESTS
    status, _, headers = strict.ask("GET", "/api/me", **anna)
    assert (status, 0 < int(headers["Retry-After"]) <= 600) == (429, True)
    assert strict.ask("GET", "/api/me", **bruno)[0] == 200


def test_hoarding_is_limited_for_each_owner(strict: Server) -> None:
    bruno = strict.sign_in("bruno")
    ids = [f"0192f0c1-2a3b-7c4d-8e5f-{number:012x}" for number in range(MOST_RECORDS + 3)]
    fields = {"media_type": "image/jpeg"}
    clocks = dict.fromkeys(fields, CLOCK)
    changes = [{"kind": "photo", "id": one, "fields": fields, "clocks": clocks} for one in ids]
    body = {"format": 1, "device": "aaaaaaaa", "cursor": 0, "changes": changes}
    status, answer, _ = strict.ask("POST", "/api/sync", json.dumps(body).encode(), **JSON, **bruno)
    assert status == 200
    outcomes = [one["outcome"] for one in answer["outcomes"]]
    assert outcomes == ["applied"] * MOST_RECORDS + ["refused"] * 3
    assert answer["outcomes"][-1]["errors"]["record"][0]["code"] == "too_many_records"
    picture = io.BytesIO()
    Image.new("RGB", (9, 7), "olive").save(picture, "JPEG")
    headers = {"Content-Type": "image/jpeg", **bruno}
    found = [
        strict.ask("PUT", f"/api/photos/{one}", picture.getvalue(), **headers) for one in ids[:4]
    ]
    assert [one[0] for one in found] == [200] * MOST_PHOTOS + [422] * 2
    assert found[-1][1]["code"] == "too_many_photos"
