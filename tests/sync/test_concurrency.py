"""Concurrent phones: no record is ever missed by a cursor that was issued earlier."""

from __future__ import annotations

import threading
import time
from concurrent.futures import ThreadPoolExecutor
from typing import Any

from flask import Flask

THREADS = 8
BATCHES = 6
PER_BATCH = 5


def record(thread: int, number: int) -> dict[str, Any]:
    clock = f"1790000000000-{number:04x}-device{thread:03d}"
    return {
        "kind": "tasting",
        "id": f"0192f0c1-2a3b-7c4d-{thread:04x}-{number:012x}",
        "fields": {"words": f"{thread} {number}"},
        "clocks": {"words": clock},
    }


def push(app: Flask, thread: int) -> list[str]:
    client, sent = app.test_client(), []
    for batch in range(BATCHES):
        changes = [record(thread, batch * PER_BATCH + number) for number in range(PER_BATCH)]
        body = {"format": 1, "device": f"device{thread:03d}", "cursor": 0, "limit": 0}
        answer = client.post("/api/sync", json={**body, "changes": changes})
        assert answer.status_code == 200, answer.text
        assert {one["outcome"] for one in answer.json["outcomes"]} == {"applied"}
        sent += [change["id"] for change in changes]
    return sent


def pull(app: Flask, over: threading.Event) -> list[dict[str, Any]]:
    """Read page after page until `over` is set, with a cursor that never goes back."""
    client, seen = app.test_client(), []
    body: dict[str, Any] = {"format": 1, "device": "reader001", "cursor": 0, "limit": 7}
    while True:
        last = over.is_set()
        answer = client.post("/api/sync", json=body)
        assert answer.status_code == 200, answer.text
        seen += answer.json["changes"]
        body |= {name: answer.json[name] for name in ("cursor", "epoch", "token")}
        if last and not answer.json["more"]:
            return seen
        if not answer.json["changes"]:
            time.sleep(0.005)


def test_reader_sees_concurrent_writes_once_and_in_order(any_app: Flask) -> None:
    over = threading.Event()
    with ThreadPoolExecutor(THREADS + 1) as pool:
        reading = pool.submit(pull, any_app, over)
        try:
            pushed = pool.map(lambda n: push(any_app, n), range(THREADS))
            sent = [one for ids in pushed for one in ids]
        finally:
            # Stop the reader now that everything is written.
            over.set()
        seen = reading.result()
    assert sorted(one["id"] for one in seen) == sorted(sent)
    numbers = [one["seq"] for one in seen]
    assert numbers == sorted(set(numbers)) == list(range(1, len(sent) + 1))
