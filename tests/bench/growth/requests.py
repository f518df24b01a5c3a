"""The requests that are measured, of one owner's phone, without HTTP in between."""

from __future__ import annotations

import contextlib
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from flask import Flask

from tests.auth.conftest import browser
from tests.bench.growth.fill import CLOCK, PASSPHRASE
from tests.temporary_postgres import Cluster

NOTE = "018a0000-ffff-7000-8000-ffffffffffff"


class Phone:
    """A phone of an owner that `fill` made. Each method makes one request."""

    def __init__(self, app: Flask, number: int) -> None:
        self.number = number
        self.client = browser(app, f"the key of the phone of owner number {number}")
        self.etag = ""
        self.body: dict[str, Any] = {"format": 1, "device": f"benchphone{number}", "cursor": 0}

    def sign_in(self) -> None:
        given = {"name": f"owner {self.number}", "passphrase": PASSPHRASE, "device_name": "phone"}
        self._check(self.client.post("/api/sign-in", json=given))

    def first_sync(self) -> None:
        """Sync for the first time on a day, which deletes what has expired."""
        self.empty_sync()

    def catch_up(self) -> None:
        """Read the notebook to its end."""
        before = -1
        while before != self.body["cursor"]:
            before = self.body["cursor"]
            self.empty_sync()

    def empty_sync(self) -> None:
        self._sync([])

    def sync_a_note(self) -> None:
        now_ms = time.time_ns() // 1_000_000
        clock = f"{now_ms}{CLOCK[13:]}"
        fields = {"words": f"note of {now_ms}", "liking": 5}
        change = {"kind": "tasting", "id": NOTE, "fields": fields}
        self._sync([{**change, "clocks": dict.fromkeys(fields, clock), "deleted": False}])

    def pull_a_page(self) -> None:
        body = {**self.body, "cursor": 0, "limit": 1_000, "changes": []}
        answer = self._check(self.client.post("/api/sync", json=body))
        assert answer.json["changes"]
        self.body["token"] = answer.json["token"]

    def palate(self) -> None:
        """Ask for a palate that is learned, or the same one again."""
        headers = {"If-None-Match": self.etag} if self.etag else {}
        answer = self._check(self.client.get("/api/palate", headers=headers), (200, 304))
        self.etag = answer.headers["ETag"]

    def _sync(self, changes: list[Any]) -> None:
        answer = self._check(self.client.post("/api/sync", json={**self.body, "changes": changes}))
        assert all(one["outcome"] == "applied" for one in answer.json["outcomes"])
        self.body |= {name: answer.json[name] for name in ("epoch", "token", "cursor")}

    @staticmethod
    def _check(answer: Any, statuses: tuple[int, ...] = (200,)) -> Any:
        assert answer.status_code in statuses, answer.text
        return answer


class Meter:
    """Measures the time of a call: of the processors, or of the clock."""

    def __init__(self, cluster: Cluster, role: str, by_clock: bool) -> None:
        self._postmaster = int((cluster.folder / "data" / "postmaster.pid").read_text().split()[0])
        self._role = f" {role} ".encode()
        self._by_clock = by_clock

    def seconds(self, work: Callable[[], None]) -> float:
        if self._by_clock:
            started = time.perf_counter()
            work()
            return time.perf_counter() - started
        # Other programs on the machine change the clock's time, but hardly the processor's.
        sessions, ours = self._sessions_s(), time.process_time()
        work()
        return time.process_time() - ours + self._sessions_s() - sessions

    def _sessions_s(self) -> float:
        """Return the processor time of the role's sessions in the database."""
        children = Path(f"/proc/{self._postmaster}/task/{self._postmaster}/children")
        total = 0
        for process in map(Path, (f"/proc/{one}" for one in children.read_text().split())):
            with contextlib.suppress(OSError):
                if self._role in (process / "cmdline").read_bytes():
                    total += int((process / "schedstat").read_text().split()[0])
        return total / 1e9
