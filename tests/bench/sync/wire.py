"""Push and pull of 10,000 notes over HTTP, from a client without storage."""

from __future__ import annotations

import gzip
import http.client
import json
import statistics
import time
from typing import Any
from urllib.parse import urlsplit

import brotli

from tests.bench.sync.servers import DEVICE, Record

UP, DOWN = 500, 1_000
HEADERS = {"Content-Type": "application/json", "Content-Encoding": "gzip"}
WANTS = {"Accept-Encoding": "br, gzip"}
UNPACK = {"br": brotli.decompress, "gzip": gzip.decompress}


class Line:
    """Persistent HTTP connection that sums up request times.

    `spent_s` includes encoding the request and decoding the response, which cost both servers
    the same.
    """

    def __init__(self, url: str) -> None:
        self.connection = http.client.HTTPConnection(urlsplit(url).netloc, timeout=120)
        self.spent_s = 0.0

    def ask(self, method: str, path: str, value: Any = None) -> Any:
        start = time.perf_counter()
        body = None if value is None else gzip.compress(json.dumps(value).encode(), 6)
        headers = {**WANTS, **(HEADERS if body else {})}
        self.connection.request(method, path, body, headers)
        answer = self.connection.getresponse()
        content = answer.read()
        assert answer.status == 200, content[:300]
        unpack = UNPACK.get(answer.headers.get("Content-Encoding", ""), bytes)
        payload = json.loads(unpack(content))
        self.spent_s += time.perf_counter() - start
        return payload


class BookSide:
    """Client of the sync protocol that stores nothing."""

    def __init__(self, url: str, device: str = DEVICE) -> None:
        self.line = Line(url)
        self.shown = {"format": 1, "device": device, "epoch": None, "token": None, "cursor": 0}

    def exchange(self, changes: list[Record], limit: int = DOWN) -> Any:
        asked = {**self.shown, "limit": limit, "changes": changes}
        result = self.line.ask("POST", "/api/sync", asked)
        self.shown |= {name: result[name] for name in ("epoch", "token", "cursor")}
        return result

    def push(self, records: list[Record]) -> float:
        """Push all records and return the seconds spent."""
        for start in range(0, len(records), UP):
            result = self.exchange(records[start : start + UP])
            assert {one["outcome"] for one in result["outcomes"]} == {"applied"}
        return self.line.spent_s

    def pull(self, count: int) -> float:
        """Pull all `count` records and return the seconds spent."""
        value = 0
        while True:
            result = self.exchange([])
            value += len(result["changes"])
            if not result["more"]:
                assert value == count
                return self.line.spent_s


def floor_push(url: str, records: list[Record]) -> float:
    line = Line(url)
    for start in range(0, len(records), UP):
        line.ask("POST", "/push", {"changes": records[start : start + UP]})
    return line.spent_s


def floor_pull(url: str, count: int) -> float:
    line, cursor, value = Line(url), 0, 0
    while value < count:
        result = line.ask("GET", f"/pull?after={cursor}&limit={DOWN}")
        cursor, value = result["cursor"], value + len(result["changes"])
    return line.spent_s


def hundred_changes_s(url: str, records: list[Record], times: int) -> float:
    """Return the median response time of 100 edits in a large notebook."""
    side = BookSide(url, "hundredphone")
    side.pull(len(records))
    spent = []
    for number in range(times):
        clock = f"{1_691_000_000_000 + number}-0000-hundredphone"
        edits = [
            {**record, "fields": {"words": f"edit {number}"}, "clocks": {"words": clock}}
            for record in records[number * 100 : number * 100 + 100]
        ]
        before = side.line.spent_s
        result = side.exchange(edits)
        assert {one["outcome"] for one in result["outcomes"]} == {"applied"}
        spent.append(side.line.spent_s - before)
    return statistics.median(spent)
