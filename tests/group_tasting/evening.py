"""An evening through the API: the leader's records by sync, and guests with their tokens."""

from __future__ import annotations

import time
import uuid
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any

from flask.testing import FlaskClient
from werkzeug.test import TestResponse

LEADER_DEVICE = "leadersphone"


def now_ms() -> int:
    return time.time_ns() // 1_000_000


def moment(at_ms: int) -> str:
    return datetime.fromtimestamp(at_ms / 1000, UTC).isoformat(timespec="milliseconds")


def new_id() -> str:
    return str(uuid.uuid4())


@dataclass
class Leader:
    """The leader's phone: writes records by sync and reads what arrived."""

    client: FlaskClient
    table: str = field(default_factory=new_id)
    glasses: list[str] = field(default_factory=list)
    bottles: list[str] = field(default_factory=list)
    last_ms: int = 0

    def put(self, kind: str, id_: str, **fields: Any) -> None:
        self.last_ms = max(now_ms(), self.last_ms + 1)
        clock = f"{self.last_ms:013d}-0000-{LEADER_DEVICE}"
        change = {"kind": kind, "id": id_, "fields": fields, "clocks": dict.fromkeys(fields, clock)}
        answer = self._sync(changes=[change])
        assert [one["outcome"] for one in answer["outcomes"]] == ["applied"], answer

    def _sync(self, **parts: Any) -> dict[str, Any]:
        request = {"format": 1, "device": LEADER_DEVICE, "cursor": 0, "changes": [], **parts}
        answer = self.client.post("/api/sync", json=request)
        assert answer.status_code == 200, answer.text
        body: dict[str, Any] = answer.json
        return body

    def delete(self, kind: str, id_: str) -> None:
        self._mark(kind, id_, deleted=True)

    def restore(self, kind: str, id_: str) -> None:
        self._mark(kind, id_, deleted=False)

    def _mark(self, kind: str, id_: str, *, deleted: bool) -> None:
        self.last_ms = max(now_ms(), self.last_ms + 1)
        mark = {"deleted": deleted, "deleted_clock": f"{self.last_ms:013d}-0000-{LEADER_DEVICE}"}
        answer = self._sync(changes=[{"kind": kind, "id": id_, **mark}])
        assert [one["outcome"] for one in answer["outcomes"]] == ["applied"], answer

    def changes_after(self, cursor: int) -> list[dict[str, Any]]:
        """Return what a phone learns that has read everything up to this number."""
        return [one for one in self._sync()["changes"] if one["seq"] > cursor]

    def last_seq(self) -> int:
        return int(self._sync()["cursor"])

    def all_records(self) -> list[dict[str, Any]]:
        """Return all records of the notebook, deleted ones too."""
        return list(self._sync()["changes"])

    def records(self, kind: str) -> dict[str, dict[str, Any]]:
        """Return the records of a kind that are not deleted, as the leader's phone has them."""
        found = {one["id"]: one for one in self._sync()["changes"] if one["kind"] == kind}
        return {id_: one["fields"] for id_, one in found.items() if not one["deleted"]}

    def set_table(self, bottles: list[dict[str, Any]], **head: Any) -> None:
        """Write the table and a glass for each bottle; equal bottles are one."""
        self.put("group_tasting", self.table, **{"name": "Six glasses", "pace": "led", **head})
        known: list[dict[str, Any]] = []
        for bottle in bottles:
            if bottle not in known:
                known.append(bottle)
                self.bottles.append(new_id())
                self.put("bottle", self.bottles[-1], **bottle)
            self.glasses.append(new_id())
            position = len(self.glasses)
            self.put(
                "glass",
                self.glasses[-1],
                group_tasting=self.table,
                bottle=self.bottles[known.index(bottle)],
                position=position,
                mark=chr(64 + position),
            )

    def change(self, **fields: Any) -> None:
        self.put("group_tasting", self.table, **fields)

    def change_glass(self, number: int, **fields: Any) -> None:
        self.put("glass", self.glasses[number], **fields)

    def invite(self) -> dict[str, Any]:
        answer = self.client.post(f"/api/group-tastings/{self.table}/invitation")
        assert answer.status_code == 200, answer.text
        body: dict[str, Any] = answer.json
        return body


@dataclass
class Guest:
    """A guest's phone, with everything that the server sent to it."""

    client: FlaskClient
    name: str = "Ada"
    id: str = field(default_factory=new_id)
    key: str = field(default_factory=lambda: uuid.uuid4().hex + uuid.uuid4().hex)
    token: str = ""
    etag: str = ""
    watch: Callable[[bytes], None] | None = None

    def ask(self, method: str, path: str, **given: Any) -> TestResponse:
        headers = given.pop("headers", {})
        if self.token:
            headers = {"Authorization": f"Bearer {self.token}", **headers}
        answer = self.client.open(path, method=method, headers=headers, **given)
        if self.watch:
            self.watch(str(answer.headers).encode() + answer.data)
        return answer

    def look(self, **invitation: str) -> TestResponse:
        return self.ask("POST", "/api/guests/look", json=invitation)

    def try_join(self, **invitation: str) -> TestResponse:
        body = {"name": self.name, "guest": self.id, "key": self.key, **invitation}
        return self.ask("POST", "/api/guests/join", json=body)

    def join(self, **invitation: str) -> Guest:
        answer = self.try_join(**invitation)
        assert answer.status_code == 200, answer.text
        self.token = answer.json["token"]
        return self

    def poll(self) -> TestResponse:
        answer = self.ask("GET", "/api/guests/table", headers={"If-None-Match": self.etag})
        self.etag = answer.headers.get("ETag", "")
        return answer

    def table(self) -> dict[str, Any]:
        answer = self.ask("GET", "/api/guests/table")
        assert answer.status_code == 200, answer.text
        body: dict[str, Any] = answer.json
        return body

    def put(self, glass: str, noted_ms: int | None = None, **fields: Any) -> TestResponse:
        noted = {} if noted_ms is None else dict.fromkeys(fields, noted_ms)
        body = {"fields": fields, "noted_ms": noted}
        return self.ask("PUT", f"/api/guests/sheets/{glass}", json=body)

    def consent(self, noted_ms: int, *, agreed: bool = True) -> TestResponse:
        body = {"agreed": agreed, "noted_ms": noted_ms}
        return self.ask("PUT", "/api/guests/consent", json=body)
