"""A phone in Python: its tables, its outbox and its sync steps, without a browser.

It follows the rules of the sync guide for phones, so that thousands of random histories can
run against the server.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from copy import deepcopy
from functools import partial
from typing import Any

from tests.reference.hlc import tick
from webapp.records.record import Record
from webapp.sync.hlc import clock_ms
from webapp.sync.merge import merge

DRAFT_MS = 60_000
Key = tuple[str, str]
Send = Callable[[dict[str, Any]], dict[str, Any]]


def blank(key: Key) -> Record:
    return {
        "kind": key[0],
        "id": key[1],
        "fields": {},
        "clocks": {},
        "deleted": False,
        "deleted_clock": None,
    }


def one_clock(values: dict[str, Any]) -> str:
    """Return the clock of a change that has one value."""
    clock: str = values.get("deleted_clock") or next(iter(values["clocks"].values()))
    return clock


def set_one_clock(values: dict[str, Any], clock: str) -> None:
    if values.get("deleted_clock"):
        values["deleted_clock"] = clock
    else:
        values["clocks"] = dict.fromkeys(values["clocks"], clock)


class Phone:
    """A phone whose clock is off by `clock_offset_ms`.

    `most_up` limits the changes of one request.
    """

    def __init__(self, device: str, clock_offset_ms: int = 0, most_up: int = 500) -> None:
        self.device = device
        self.most_up = most_up
        self.clock_offset_ms = clock_offset_ms
        self.last_clock: str | None = None
        self.seen_clock: str | None = None
        self.records: dict[Key, Record] = {}
        self.outbox: dict[Key, set[str]] = {}
        # Superseded values that stayed unsent for more than a minute.
        self.earlier: list[dict[str, Any]] = []
        self.written_ms: dict[str, int] = {}
        # Values that the server dropped from a record that this phone brings back.
        self.dropped: list[tuple[Key, str, Any]] = []
        self.epoch: str | None = None
        self.token: str | None = None
        self.cursor = 0

    def edit(self, now_ms: int, key: Key, field: str, value: Any) -> None:
        """Set a field of a record; field "deleted" deletes or restores it."""
        record = self.records.setdefault(key, blank(key))
        if field in self.outbox.get(key, set()) and not self._is_draft(key, field, now_ms):
            self.earlier.append(self._change(key, {field}))
        clock = self._tick(now_ms)
        self.written_ms[clock] = now_ms + self.clock_offset_ms
        if field == "deleted":
            record["deleted"], record["deleted_clock"] = value, clock
        else:
            record["fields"][field], record["clocks"][field] = value, clock
        self.outbox.setdefault(key, set()).add(field)

    def _is_draft(self, key: Key, field: str, now_ms: int) -> bool:
        """Return whether this phone wrote the value less than a minute ago by its own clock."""
        at = self.written_ms.get(self._clock(key, field))
        return at is not None and 0 <= now_ms + self.clock_offset_ms - at < DRAFT_MS

    def _tick(self, now_ms: int) -> str:
        self.last_clock = tick(self.last_clock, now_ms + self.clock_offset_ms, self.device)
        return self.last_clock

    def request(self, limit: int = 3) -> dict[str, Any]:
        """Return the sync request that the phone would send now."""
        changes = [self._change(key, self.outbox[key]) for key in sorted(self.outbox)]
        values = {
            "format": 1,
            "device": self.device,
            "epoch": self.epoch,
            "token": self.token,
            "cursor": self.cursor,
            "limit": limit,
            "changes": [*self.earlier, *changes][: self.most_up],
        }
        return deepcopy(values)

    def _change(self, key: Key, unsent: set[str]) -> dict[str, Any]:
        record = self.records[key]
        fields = {name: record["fields"][name] for name in unsent - {"deleted"}}
        clocks = {name: record["clocks"][name] for name in fields}
        change: dict[str, Any] = {"kind": key[0], "id": key[1], "fields": fields, "clocks": clocks}
        if "deleted" in unsent:
            change |= {"deleted": record["deleted"], "deleted_clock": record["deleted_clock"]}
        return change

    def sync(self, send: Send, rounds: int = 40) -> None:
        """Sync until nothing is left to send or receive."""
        for _ in range(rounds):
            request = self.request()
            answer = send(request)
            self.take(request, answer)
            if not answer["more"] and not self.outbox and not self.earlier:
                return
        raise AssertionError("the phone and the server do not come to rest")

    def take(self, request: dict[str, Any], answer: dict[str, Any]) -> None:
        """Apply a response, as one transaction."""
        for change, outcome in zip(request["changes"], answer["outcomes"], strict=True):
            assert outcome["id"] == change["id"]
            if outcome["outcome"] in ("applied", "duplicate"):
                self._confirm((change["kind"], change["id"]), change)
                self.earlier = [one for one in self.earlier if one != change]
        if answer["rewound"]:
            self.seen_clock = None
            for key, record in self.records.items():
                value = {"deleted"} if record["deleted_clock"] else set()
                self.outbox[key] = {*record["clocks"], *value}
        for change in answer["changes"]:
            self._take_change(change)
        self._note_taken(request, answer)
        self._write_dropped_again(answer["now"])
        if any(one["outcome"] == "restamp" for one in answer["outcomes"]):
            self._restamp(answer["now"])
        self.epoch, self.token = answer["epoch"], answer["token"]
        self.cursor = answer["cursor"]
        if answer["fork"]:
            self.device = self.device[:8] + f"{len(self.device):08d}"

    def _note_taken(self, request: dict[str, Any], answer: dict[str, Any]) -> None:
        """Record accepted clocks, because new clocks must exceed values that the server now has."""
        for change, outcome in zip(request["changes"], answer["outcomes"], strict=True):
            if outcome["outcome"] in ("applied", "duplicate"):
                clocks = [*change["clocks"].values(), change.get("deleted_clock") or ""]
                self.seen_clock = max(self.seen_clock or "", *clocks)

    def _take_change(self, change: dict[str, Any]) -> None:
        key = (change["kind"], change["id"])
        theirs = {name: change[name] for name in blank(key)}
        self._store_superseded(key, change)
        self._note_dropped(key, change)
        self.records[key] = merge(self.records.get(key), theirs)["record"]
        self._confirm(key, change)
        for clock in (*change["clocks"].values(), change["deleted_clock"]):
            if clock is not None:
                self.last_clock = max(self.last_clock or clock, clock)
                self.seen_clock = max(self.seen_clock or clock, clock)

    def _note_dropped(self, key: Key, change: dict[str, Any]) -> None:
        """Note values of a record that this phone edited after the server had dropped them."""
        mine, mark = self.records.get(key), change["deleted_clock"]
        if mine is None or not change["deleted"]:
            return
        restored = not mine["deleted"] and (mine["deleted_clock"] or "") > mark
        if not restored and all(clock <= mark for clock in mine["clocks"].values()):
            return
        for name, clock in change["clocks"].items():
            value = mine["fields"].get(name)
            is_dropped = clock == mark and change["fields"][name] is None
            if is_dropped and value is not None and mine["clocks"][name] < mark:
                self.dropped.append((key, name, value))

    def _write_dropped_again(self, now_ms: int) -> None:
        for key, name, value in self.dropped:
            self.edit(now_ms, key, name, value)
        self.dropped = []

    def _store_superseded(self, key: Key, change: dict[str, Any]) -> None:
        """Move outbox values that lost the merge to `earlier`, for the server's revision log."""
        clocks = {**change["clocks"], "deleted": change["deleted_clock"] or ""}
        for name in sorted(self.outbox.get(key, set())):
            if self._clock(key, name) < clocks.get(name, ""):
                self.earlier.append(self._change(key, {name}))
                self.outbox[key].discard(name)
        if key in self.outbox and not self.outbox[key]:
            del self.outbox[key]

    def _confirm(self, key: Key, seen: dict[str, Any]) -> None:
        """Remove values that the server has from the outbox, if the clock is the same."""
        record, unsent = self.records[key], self.outbox.get(key, set())
        for name, clock in seen["clocks"].items():
            if record["clocks"].get(name) == clock:
                unsent.discard(name)
        if seen.get("deleted_clock") and seen["deleted_clock"] == record["deleted_clock"]:
            unsent.discard("deleted")
        if not unsent:
            self.outbox.pop(key, None)

    def _restamp(self, now_ms: int) -> None:
        """Give unsent values with clocks in the future new clocks based on the server's time.

        Values that have lost to a value on the server keep their clocks.
        """
        self.clock_offset_ms = 0
        stamps: dict[str, Callable[[str], None]] = {
            self._clock(key, name): partial(self._set_clock, key, name)
            for key in self.outbox
            for name in self.outbox[key]
        }
        lost = [entry for entry in self.earlier if not self._is_open(entry)]
        stamps |= {
            one_clock(entry): partial(set_one_clock, entry)
            for entry in self.earlier
            if entry not in lost
        }
        ahead = sorted(clock for clock in stamps if clock_ms(clock) > now_ms)
        every = [*self._all_clocks(), *stamps, *map(one_clock, lost), self.seen_clock or ""]
        self.last_clock = max((clock for clock in every if clock not in ahead), default="") or None
        for clock in ahead:
            stamps[clock](self._tick(now_ms))

    def _is_open(self, values: dict[str, Any]) -> bool:
        """Return whether the record's current value of the field is unsent too."""
        key = (values["kind"], values["id"])
        name = "deleted" if values.get("deleted_clock") else next(iter(values["clocks"]))
        return name in self.outbox.get(key, set())

    def _clock(self, key: Key, name: str) -> str:
        record = self.records[key]
        clock = record["deleted_clock"] if name == "deleted" else record["clocks"][name]
        assert clock is not None
        return clock

    def _set_clock(self, key: Key, name: str, clock: str) -> None:
        if name == "deleted":
            self.records[key]["deleted_clock"] = clock
        else:
            self.records[key]["clocks"][name] = clock

    def _all_clocks(self) -> list[str]:
        clocks = [clock for record in self.records.values() for clock in record["clocks"].values()]
        return clocks + [r["deleted_clock"] for r in self.records.values() if r["deleted_clock"]]

    def state(self) -> dict[str, Any]:
        """Return the records, to compare them with other replicas."""
        return json.loads(
            json.dumps({"/".join(key): self.records[key] for key in sorted(self.records)})
        )
