"""Simulated owners: each writes, edits, deletes and syncs without a pause."""

from __future__ import annotations

import gzip
import http.client
import io
import itertools
import json
import random
import time
import zipfile
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import Any

from tests.soak.servers import KEY, Server
from tests.sync.simulated_phone import Key, Phone

PHONES = 2
ANSWER_S = 120
PATIENCE = 40


@dataclass
class Counts:
    """Totals of a run. `faults` are error messages; a successful run has none."""

    requests: int = 0
    changes: int = 0
    records: int = 0
    faults: list[str] = field(default_factory=list)

    def add(self, other: Counts) -> None:
        self.requests += other.requests
        self.changes += other.changes
        self.records += other.records
        self.faults += other.faults


class Client:
    """One phone of one owner, over HTTP."""

    def __init__(self, server: Server, owner: int, number: int) -> None:
        self.phone = Phone(f"owner{owner:03d}phone{number}")
        self.chance = random.Random(owner * 10 + number)
        self.server = server
        self.shown = {"Cookie": f"secondnose={server.tokens[owner]}", "Second-Nose-Key": KEY}
        self.connection = http.client.HTTPConnection("127.0.0.1", server.port, timeout=ANSWER_S)
        self.written: set[tuple[str, str, str]] = set()
        self.ids: list[Key] = []
        self.tally = Counts()

    def live(self, rounds: Iterable[int]) -> None:
        """Write a little and sync, once for each of `rounds`."""
        for _ in rounds:
            for _ in range(self.chance.randint(1, 4)):
                self.write()
            self.sync()

    def write(self) -> None:
        known = [*self.ids, *self.phone.records]
        if not known or self.chance.random() < 0.3:
            number = self.chance.getrandbits(60)
            key = ("tasting", f"0192f0c1-2a3b-7c4d-8{number >> 48:03x}-{number % 2**48:012x}")
            self.ids.append(key)
        else:
            key = self.chance.choice(known)
        name = self.chance.choice(["words", "place", "words", "place", "deleted"])
        count = len(self.written)
        # Of one width: a text that begins a later one is a draft, which leaves no revision.
        text = f"{self.phone.device} {count:06d}"
        value = self.chance.random() < 0.5 if name == "deleted" else text
        unsent = self.phone.outbox.get(key, set())
        if name in unsent:
            return
        self.phone.edit(time.time_ns() // 1_000_000, key, name, value)
        self.written.add((key[1], name, json.dumps(value)))

    def sync(self) -> None:
        for _ in range(PATIENCE):
            request = self.phone.request(limit=200)
            answer = self.send(request)
            if answer is None:
                return
            self._look(request, answer)
            self.phone.take(request, answer)
            if not answer["more"] and not self.phone.outbox:
                return
        self.tally.faults.append(f"{self.phone.device} does not come to rest")

    def send(self, request: dict[str, Any]) -> dict[str, Any] | None:
        headers = {"Content-Type": "application/json", "Content-Encoding": "gzip"}
        body = gzip.compress(json.dumps(request).encode(), 1)
        content = self.ask("POST", "/api/sync", body, headers)
        payload: dict[str, Any] | None = json.loads(content) if content is not None else None
        return payload

    def ask(
        self, method: str, path: str, body: bytes | None, headers: dict[str, str]
    ) -> bytes | None:
        self.tally.requests += 1
        try:
            self.connection.request(method, path, body, {**headers, **self.shown})
            answer = self.connection.getresponse()
            content = answer.read()
        except (OSError, http.client.HTTPException) as error:
            self.connection.close()
            if isinstance(error, http.client.RemoteDisconnected):
                # Retry, because the server may close an idle connection.
                return self.ask(method, path, body, headers)
            self.tally.faults.append(f"{method} {path}: {error!r}")
            return None
        if answer.status != 200:
            self.tally.faults.append(f"{method} {path}: {answer.status} {content[:200]!r}")
            return None
        return content

    def _look(self, request: dict[str, Any], answer: dict[str, Any]) -> None:
        """Check that sequence numbers are unique and ordered, and that every change is new."""
        numbers = [change["seq"] for change in answer["changes"]]
        bounds = [request["cursor"], *numbers, answer["cursor"] + 1]
        if any(one >= next_ for one, next_ in itertools.pairwise(bounds)):
            self.tally.faults.append(f"{self.phone.device}: numbers out of order: {bounds}")
        if answer["rewound"] or answer["fork"]:
            self.tally.faults.append(f"{self.phone.device}: taken for a restored one")
        for outcome in answer["outcomes"]:
            self.tally.changes += 1
            if outcome["outcome"] != "applied":
                self.tally.faults.append(f"{self.phone.device}: {outcome}")


def for_seconds(seconds: float) -> Iterator[int]:
    """Yield numbers until so many seconds have passed."""
    until_s = time.monotonic() + seconds
    return itertools.takewhile(lambda _: time.monotonic() < until_s, itertools.count())


def run_concurrently(server: Server, rounds: Callable[[], Iterable[int]]) -> Counts:
    """Run all owners at once with two phones each, then sync everything and compare."""
    guests = [
        [Client(server, owner, number) for number in range(PHONES)]
        for owner in range(len(server.tokens))
    ]
    everyone = [guest for phones in guests for guest in phones]
    with ThreadPoolExecutor(len(everyone)) as pool:
        list(pool.map(lambda guest: guest.live(rounds()), everyone))
    total = Counts()
    for phones in guests:
        compare(phones)
        for guest in phones:
            guest.connection.close()
            total.add(guest.tally)
    return total


def compare(phones: list[Client]) -> None:
    """Check that both phones and the server agree and that every value ever sent is stored."""
    for guest in (*phones, *phones):
        guest.sync()
    first = phones[0]
    content = first.ask("GET", "/api/export", None, {})
    if content is None:
        return
    records, kept = read_export(content)
    first.tally.records = len(records)
    for guest in phones:
        if guest.phone.state() != records:
            first.tally.faults.append(f"{guest.phone.device} and the server differ")
    if sorted(records) != sorted({f"{key[0]}/{key[1]}" for one in phones for key in one.ids}):
        first.tally.faults.append(f"{first.phone.device}: records are missing or too many")
    lost = set().union(*(guest.written for guest in phones)) - kept
    if lost:
        first.tally.faults.append(f"{first.phone.device}: {len(lost)} values lost: {min(lost)}")


def read_export(content: bytes) -> tuple[dict[str, Any], set[tuple[str, str, str]]]:
    """Return an export's records as a phone's state, and (id, field, JSON) of every value."""
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        names = archive.namelist()
        lines = {
            name: [json.loads(line) for line in archive.read(name).splitlines()]
            for name in ("tasting.jsonl", "revisions.jsonl")
            if name in names
        }
    records = {f"{one['kind']}/{one['id']}": one for one in lines.get("tasting.jsonl", [])}
    kept = {(one["id"], one["field"], json.dumps(one["value"])) for one in lines["revisions.jsonl"]}
    for record in records.values():
        kept |= {(record["id"], name, json.dumps(v)) for name, v in record["fields"].items()}
        if record["deleted_clock"]:
            kept.add((record["id"], "deleted", json.dumps(record["deleted"])))
    return records, kept
