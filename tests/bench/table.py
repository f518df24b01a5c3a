"""Guests of led tastings who poll and answer: errors, time to the leader, processor share.

`python -m tests.bench.table` lets thirty guests taste for ten minutes on one waitress server with
SQLite; `--gunicorn` twenty tables of fifteen guests on four gunicorn workers with PostgreSQL. With
`--speed 5` everybody acts five times as fast, so the server has five times the load and ten minutes
last two; seconds to the leader are real ones. `--minutes` makes the evening shorter.
"""

from __future__ import annotations

import argparse
import asyncio
import os
import random
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tests.bench.http_link import Link
from tests.bench.sync.cpu_time import spent_s
from tests.group_tasting.evening import moment, new_id, now_ms
from tests.processes import running, wait_for
from tests.soak.servers import KEY, is_ready, let_in
from tests.temporary_postgres import free_port, running_cluster
from webapp.group_tasting.table import step_fields

MINUTES, POLL_S, LEADER_S = 10, 3.0, 2.0
GLASSES = 6
STEPS = [*step_fields()]
ANSWERS: dict[str, dict[str, Any]] = {
    "look": {"look_colour": "red", "look_depth": "medium"},
    "first_nose": {"first_nose_words": ["citrus", "~old rope"]},
    "second_nose": {"second_nose_words": ["citrus"], "intensity": 6.5},
    "sip_1": {"sweetness": 1.5, "acidity": 7},
    "sip_2": {"tannin": 5, "body": 6},
    "sip_3": {"warmth": 4, "oak": 2},
    "whole": {"balance": 6, "complexity": 5, "finish_s": 17.5},
    "verdict": {"liking": 7, "would_buy": "yes", "words": "dry and long, a little closed"},
}


@dataclass
class Results:
    """Counts of one run; `waits` are seconds from an answer to the leader's phone."""

    polls: int = 0
    unchanged: int = 0
    answers: int = 0
    errors: list[str] = field(default_factory=list)
    waits: list[float] = field(default_factory=list)
    request_s: list[float] = field(default_factory=list)


@dataclass
class Table:
    """One leader with a table and its guests."""

    port: int
    token: str
    results: Results
    speed: float
    minutes: float
    id: str = field(default_factory=new_id)
    glasses: list[str] = field(default_factory=lambda: [new_id() for _ in range(GLASSES)])
    # Answers that the leader has not received, by (guest, glass, field): when they were sent.
    sent: dict[tuple[str, str, str], float] = field(default_factory=dict)
    open: tuple[str, str] | None = None
    over: bool = False
    cursor: int = 0
    epoch: str | None = None
    sync_token: str | None = None

    async def sync(self, link: Link, *changes: tuple[str, str, dict[str, Any]]) -> None:
        clock = f"{now_ms():013d}-0000-leadersphone"
        changes = [
            {"kind": kind, "id": id_, "fields": fields, "clocks": dict.fromkeys(fields, clock)}
            for kind, id_, fields in changes
        ]
        body = {"format": 1, "device": "leadersphone", "cursor": self.cursor, "changes": changes}
        body |= {"epoch": self.epoch, "token": self.sync_token} if self.epoch else {}
        headers = {"Cookie": f"secondnose={self.token}", "Second-Nose-Key": KEY}
        status, answer = await link.ask("POST", "/api/sync", body, headers)
        if status != 200:
            self.results.errors.append(f"sync {status}")
            return
        self.cursor, self.epoch, self.sync_token = (
            answer["cursor"],
            answer["epoch"],
            answer["token"],
        )
        for one in answer["changes"] if answer["changes"] else ():
            if one["kind"] == "sheet":
                self._received(one["fields"])

    def _received(self, sheet: dict[str, Any]) -> None:
        for name in sheet:
            sent = self.sent.pop((sheet["guest"], sheet["glass"], name), None)
            if sent is not None:
                self.results.waits.append(time.monotonic() - sent)

    async def set_up(self, link: Link) -> str:
        head = {"name": "Six glasses", "pace": "led", "leader_name": "Anna"}
        glasses: list[tuple[str, str, dict[str, Any]]] = []
        for number, id_ in enumerate(self.glasses, 1):
            bottle = new_id()
            glasses.append(("bottle", bottle, {"name": f"Bottle {number}"}))
            refs = {"group_tasting": self.id, "bottle": bottle}
            glasses.append(("glass", id_, {**refs, "position": number, "mark": str(number)}))
        await self.sync(link, ("group_tasting", self.id, head), *glasses)
        headers = {"Cookie": f"secondnose={self.token}", "Second-Nose-Key": KEY}
        path = f"/api/group-tastings/{self.id}/invitation"
        status, answer = await link.ask("POST", path, None, headers)
        assert status == 200, answer
        return str(answer["secret"])

    async def lead(self, link: Link) -> None:
        """Open one step after another, lay each glass open at its end, and read what arrives."""
        pause = self.minutes * 60 / self.speed / (GLASSES * len(STEPS))
        reading = asyncio.create_task(self._read())
        for glass in self.glasses:
            for place, step in enumerate(STEPS):
                before = STEPS[place - 1] if place else None
                closed = {f"closed_{before}_at": moment(now_ms())} if before else {}
                head = ("group_tasting", self.id, {"open_glass": glass, "open_step": step})
                changes = [head, *([("glass", glass, closed)] if closed else [])]
                await self.sync(link, *changes)
                self.open = (glass, step)
                await asyncio.sleep(pause)
            fields = {"discussed_at": moment(now_ms()), "uncovered_at": moment(now_ms())}
            await self.sync(link, ("glass", glass, fields))
        self.over = True
        await reading

    async def _read(self) -> None:
        """Sync every two real seconds, until nothing is missing after the end."""
        link = Link(self.port)
        while not self.over or self.sent:
            await asyncio.sleep(LEADER_S)
            await self.sync(link)


async def guest(table: Table, secret: str, number: int) -> None:
    """Poll the table, and answer each step a while after it was opened."""
    chance, link, results = random.Random(number), Link(table.port), table.results
    id_, key = new_id(), new_id() + new_id()
    await asyncio.sleep(chance.random() * POLL_S)
    values = {"secret": secret, "name": f"Guest {number}", "guest": id_, "key": key}
    status, joined = await link.ask("POST", "/api/guests/join", values, {})
    if status != 200:
        results.errors.append(f"join {status} {joined}")
        return
    headers = {"Authorization": f"Bearer {joined['token']}"}
    etag, answered = "", set[tuple[str, str]]()
    while not table.over:
        await asyncio.sleep(POLL_S / table.speed * (0.8 + 0.4 * chance.random()))
        began = time.monotonic()
        status, view = await link.ask(
            "GET", "/api/guests/table", None, {**headers, "If-None-Match": etag}
        )
        results.request_s.append(time.monotonic() - began)
        results.polls += 1
        results.unchanged += status == 304
        if status == 200:
            etag = link.etag
            now = (view["table"]["open_glass"], view["table"]["open_step"])
        elif status != 304:
            results.errors.append(f"table {status}")
            continue
        if now[0] and now not in answered and chance.random() < 0.5:
            answered.add(now)
            await answer(table, link, headers, id_, now)


async def answer(
    table: Table, link: Link, headers: dict[str, str], id_: str, now: tuple[str, str]
) -> None:
    """Send the answers of one step."""
    fields, began = ANSWERS[now[1]], time.monotonic()
    noted = dict.fromkeys(fields, now_ms())
    path, body = f"/api/guests/sheets/{now[0]}", {"fields": fields, "noted_ms": noted}
    for name in fields:
        table.sent[id_, now[0], name] = began
    status, value = await link.ask("PUT", path, body, headers)
    table.results.request_s.append(time.monotonic() - began)
    if status != 200 or value["errors"]:
        table.results.errors.append(f"sheet {status} {value}")
    stored = value["stored"] if status == 200 else []
    table.results.answers += len(stored)
    for name in fields.keys() - {*stored}:
        # The step was closed meanwhile.
        table.sent.pop((id_, now[0], name), None)


async def evening(
    port: int, tokens: list[str], guests: int, speed: float, minutes: float
) -> Results:
    """Run all tables at once."""
    results = Results()
    tables = [Table(port, token, results, speed, minutes) for token in tokens]
    tasks = []
    for number, table in enumerate(tables):
        link = Link(port)
        secret = await table.set_up(link)
        tasks.append(table.lead(link))
        tasks += [guest(table, secret, number * guests + one) for one in range(guests)]
    await asyncio.gather(*tasks)
    return results


@contextmanager
def waitress(folder: Path) -> Iterator[tuple[int, list[str], int]]:
    """Run one waitress server on SQLite; yield its port, the leaders' tokens and its process."""
    port, url = free_port(), f"sqlite:///{folder / 'book.sqlite'}"
    yield from _serving(folder, url, 1, port, ["-m", "webapp", "serve", "--port", str(port)])


@contextmanager
def gunicorn(folder: Path, owners: int) -> Iterator[tuple[int, list[str], int]]:
    """Run four gunicorn workers on PostgreSQL."""
    port = free_port()
    command = ["-m", "gunicorn", "webapp.wsgi:app", "--config", "python:webapp.gunicorn_config"]
    with running_cluster() as cluster:
        url = cluster.url(cluster.new_database())
        yield from _serving(folder, url, owners, port, [*command, "-b", f"127.0.0.1:{port}"])


def _serving(
    folder: Path, url: str, owners: int, port: int, command: list[str]
) -> Iterator[tuple[int, list[str], int]]:
    tokens, log = let_in(url, owners), folder / "server.log"
    given = {"DATABASE_URL": url, "SECONDNOSE_PHOTOS": str(folder / "photos")}
    given["SECONDNOSE_MAX_REQUESTS"] = "60000"
    with running(command, log, env={**os.environ, **given}) as process:
        wait_for(lambda: is_ready(port), process, log)
        yield port, tokens, process.pid


def family_s(pid: int) -> float:
    """Return the processor time of a process and of its children."""
    children = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    return spent_s(pid) + sum(spent_s(int(child)) for child in children)


def report(results: Results, processor_s: float, wall_s: float, speed: float) -> None:
    waits, requests = sorted(results.waits), sorted(results.request_s)
    within = sum(wait <= 5 for wait in waits) / len(waits)
    share = processor_s / wall_s
    print(f"polls {results.polls}, of them unchanged {results.unchanged}")
    print(f"answers {results.answers}, at the leader {len(waits)}, errors {len(results.errors)}")
    print(f"with the leader within 5 s: {within:.1%}; the slowest {waits[-1]:.1f} s")
    middle, late = requests[len(requests) // 2], requests[len(requests) * 99 // 100]
    print(f"guests' requests: median {middle * 1000:.0f} ms, 99 of 100 within {late * 1000:.0f} ms")
    print(f"processor share of the server {share:.1%} of a core at {speed:g} times the speed")
    for error in sorted({*results.errors})[:10]:
        print("error:", error)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--gunicorn", action="store_true")
    parser.add_argument("--speed", type=float, default=5)
    parser.add_argument("--minutes", type=float, default=MINUTES)
    parser.add_argument("--tables", type=int, default=20, help="with --gunicorn")
    given = parser.parse_args()
    guests = 15 if given.gunicorn else 30
    with tempfile.TemporaryDirectory() as name:
        # PostgreSQL runs as another user, who must be able to reach its folder.
        folder = Path(name)
        server = gunicorn(folder, given.tables) if given.gunicorn else waitress(folder)
        with server as (port, tokens, pid):
            before, began = family_s(pid), time.monotonic()
            results = asyncio.run(evening(port, tokens, guests, given.speed, given.minutes))
            wall_s = time.monotonic() - began
            print(f"{len(tokens)} tables of {guests} guests, {wall_s:.0f} s")
            report(results, family_s(pid) - before, wall_s, given.speed)


if __name__ == "__main__":
    main()
