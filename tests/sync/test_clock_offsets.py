"""Phones whose clock error varies between writes converge to the server's state."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from tests.sync.conftest import START_MS, Server
from tests.sync.simulated_phone import Phone

DEVICES = ("aaaaaaaa", "bbbbbbbb", "cccccccc")
KEYS = [("tasting", f"0192f0c1-2a3b-7c4d-8e5f-60718293a4b{n}") for n in (5, 6)]
# Around the five minutes that the server allows a clock to be ahead.
OFFSETS_MS = [0, -1_000, 120_000, 180_000, 270_000, 299_000, 320_000, 900_000, 3_600_000]
ROUNDS = 5
# One change a request, so that values not yet sent are also restamped.
MOST_UP = 1

Step = tuple[Any, ...]
phones = st.sampled_from(range(len(DEVICES)))
writes = st.tuples(
    st.just("write"),
    phones,
    st.sampled_from(KEYS),
    st.sampled_from(["words", "place", "deleted"]),
    st.sampled_from(OFFSETS_MS),
)
exchanges = st.tuples(st.sampled_from(["exchange", "lost_answer"]), phones)
histories = st.lists(st.one_of(writes, writes, exchanges), min_size=4, max_size=30)

# Regression: restamping an unsent superseded value made it win, on the server only.
SUPERSEDED_THEN_RESTAMPED: list[Step] = [
    ("write", 0, KEYS[1], "words", 180_000),
    ("write", 0, KEYS[0], "words", 900_000),
    ("write", 1, KEYS[1], "words", 270_000),
    ("exchange", 1),
]
# Regression: a restamped edit had a lower clock than the sent value that it replaced.
EDITED_WHAT_WAS_TAKEN: list[Step] = [
    ("write", 0, KEYS[0], "words", 270_000),
    ("exchange", 0),
    ("write", 0, KEYS[0], "words", 900_000),
]


class History:
    """Three phones and a server, and the effect of each step on them."""

    def __init__(self, server: Server) -> None:
        server.replace()
        server.now_ms = START_MS
        self.server = server
        self.phones = [Phone(device, most_up=MOST_UP) for device in DEVICES]
        self.values = 0

    def write(self, who: int, key: tuple[str, str], field: str, offset_ms: int) -> None:
        self.values += 1
        value = self.values % 2 == 0 if field == "deleted" else f"value {self.values}"
        self.phones[who].clock_offset_ms = offset_ms
        self.phones[who].edit(self.server.now_ms, key, field, value)

    def exchange(self, who: int) -> None:
        request = self.phones[who].request()
        self.phones[who].take(request, self.server.send(request))

    def lost_answer(self, who: int) -> None:
        self.server.send(self.phones[who].request())

    def play(self, steps: list[Step]) -> None:
        for name, *values in steps:
            self.server.now_ms += 1
            getattr(self, name)(*values)
        for _ in range(ROUNDS):
            for phone in self.phones:
                phone.sync(self.server.send)
            if all(phone.state() == self.server.state() for phone in self.phones):
                return


@pytest.mark.parametrize("steps", [SUPERSEDED_THEN_RESTAMPED, EDITED_WHAT_WAS_TAKEN])
def test_known_clock_offsets_converge(server: Server, steps: list[Step]) -> None:
    check(server, steps)


def test_random_clock_offsets_converge(server: Server) -> None:
    @settings(
        max_examples=100 if server.app.config["DATABASE_URL"].startswith("sqlite") else 20,
        deadline=None,
        suppress_health_check=list(HealthCheck),
        phases=(Phase.explicit, Phase.reuse, Phase.generate),
    )
    @given(histories)
    def run(steps: list[Step]) -> None:
        check(server, steps)

    run()


def check(server: Server, steps: list[Step]) -> None:
    """Assert that fields and clocks are equal everywhere and that nothing is left to send."""
    history = History(server)
    history.play(steps)
    state = server.state()
    for phone in history.phones:
        assert phone.state() == state, json.dumps(steps)
        assert (phone.outbox, phone.earlier) == ({}, [])
