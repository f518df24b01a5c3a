"""Two hundred random histories of three phones with the merge alone: no server, no database."""

from __future__ import annotations

import itertools
import json
import random
from copy import deepcopy
from typing import Any

import pytest

from tests.reference.hlc import tick
from webapp.records.canonical import canonical
from webapp.records.record import Record
from webapp.sync.merge import merge

DEVICES = ("aaaaaaaa", "bbbbbbbb", "cccccccc")
IDS = [f"0192f0c1-2a3b-7c4d-8e5f-{number:012x}" for number in range(3)]
STEPS = 60
YEAR_MS = 365 * 86_400_000


class Replica:
    """A phone or the server: its current records and every value that was superseded there."""

    def __init__(self, device: str, offset_ms: int) -> None:
        self.device = device
        self.offset_ms = offset_ms
        self.last: str | None = None
        self.held: dict[str, Record] = {}
        self.lost: set[tuple[str, str, str]] = set()

    def take(self, change: Record) -> None:
        merged = merge(self.held.get(change["id"]), deepcopy(change))
        self.held[change["id"]] = merged["record"]
        self.lost |= {
            (change["id"], one["field"], canonical(one["value"])) for one in merged["revisions"]
        }
        clocks = [*change["clocks"].values(), change["deleted_clock"] or ""]
        self.last = max([self.last or "", *clocks]) or None

    def write(self, now_ms: int, id_: str, field: str, value: Any) -> Record:
        clock = tick(self.last, max(0, now_ms + self.offset_ms), self.device)
        removed = field == "deleted"
        change: Record = {
            "kind": "tasting",
            "id": id_,
            "fields": {} if removed else {field: value},
            "clocks": {} if removed else {field: clock},
            "deleted": bool(value) if removed else False,
            "deleted_clock": clock if removed else None,
        }
        self.take(change)
        return change

    def text(self) -> str:
        return json.dumps(self.held, sort_keys=True)


@pytest.mark.parametrize("seed", range(200))
def test_random_history_converges_in_every_order(seed: int) -> None:
    chance = random.Random(seed)
    offsets = [
        chance.choice([0, 0, -3_600_000, 86_400_000, 10 * YEAR_MS, -10 * YEAR_MS]) for _ in DEVICES
    ]
    phones = [Replica(*one) for one in zip(DEVICES, offsets, strict=True)]
    items: list[Record] = []
    written: set[tuple[str, str, str]] = set()
    for step in range(STEPS):
        phone, id_ = chance.choice(phones), chance.choice(IDS)
        if chance.random() < 0.5:
            field = chance.choice(["words", "place", "deleted"])
            value = chance.random() < 0.5 if field == "deleted" else f"{field} {step}"
            items.append(phone.write(1_700_000_000_000 + step, id_, field, value))
            written.add((id_, field, canonical(value)))
        elif items:
            # A change of any phone is delivered: late, early, again, or never.
            phone.take(chance.choice(items))
    for phone in phones:
        rest = items * 2
        chance.shuffle(rest)
        for change in rest:
            phone.take(change)
    assert len({phone.text() for phone in phones}) == 1
    for phone in phones:
        stands = {
            (r["id"], f, canonical(v)) for r in phone.held.values() for f, v in r["fields"].items()
        }
        stands |= {
            (r["id"], "deleted", canonical(r["deleted"]))
            for r in phone.held.values()
            if r["deleted_clock"]
        }
        assert written <= stands | phone.lost
    every_order_of_the_last(items[-5:])


def every_order_of_the_last(value: list[Record]) -> None:
    ends = set()
    for order in itertools.permutations(value):
        replica = Replica("dddddddd", 0)
        for change in order:
            replica.take(change)
        ends.add(replica.text())
    assert len(ends) <= 1
