"""All replicas converge after lost or repeated messages, wrong clocks and a server restore."""

from __future__ import annotations

import json
from typing import Any

from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    precondition,
    rule,
    run_state_machine_as_test,
)

from tests.examples import examples
from tests.sync.conftest import START_MS, Server
from tests.sync.simulated_phone import DRAFT_MS, Phone

DEVICES = ("aaaaaaaa", "bbbbbbbb", "cccccccc")
KEYS = [
    ("tasting", "0192f0c1-2a3b-7c4d-8e5f-60718293a4b5"),
    ("tasting", "0192f0c1-2a3b-7c4d-8e5f-60718293a4b6"),
    ("bottle", "0192f0c1-2a3b-7c4d-8e5f-60718293a4b7"),
    ("visit", "0192f0c1-2a3b-7c4d-8e5f-60718293a4b8"),
]
YEARS_MS = 10 * 365 * 86_400_000
OFFSETS_MS = [0, 0, -1, 240_000, -3_600_000, 3_600_000, -YEARS_MS, YEARS_MS]
# Around the five minutes that the server allows a clock to be ahead.
NEAR_MS = [None, None, 0, -1, 120_000, 180_000, 270_000, 299_000, 900_000]
PATIENCE = 20
MONTH_MS = 31 * 86_400_000

phones = st.sampled_from(range(len(DEVICES)))


class Histories(RuleBasedStateMachine):
    """Each value is written once in a history, so that the final check can find it.

    Invariant: a value that a phone wrote last, sent, or left unchanged for a minute by its own
    clock is in the final state or in the revision log. A value replaced sooner is a draft. Of a
    record deleted a month ago only the tombstone remains.
    """

    server: Server

    @initialize(offsets=st.lists(st.sampled_from(OFFSETS_MS), min_size=3, max_size=3))
    def start(self, offsets: list[int]) -> None:
        self.server.replace()
        self.server.now_ms = START_MS
        self.phones = [Phone(d, o) for d, o in zip(DEVICES, offsets, strict=True)]
        self.written = 0
        self.taken_values: set[tuple[str, str, str]] = set()
        self.stood_values: set[tuple[str, str, str]] = set()
        self.last_words: dict[tuple[int, str, str], tuple[int, str]] = {}
        self.sent: list[dict[str, Any]] = []
        self.backup = self.server.backup()
        self.restored = False
        self.purged: set[str] = set()

    def send(self, request: dict[str, Any]) -> dict[str, Any]:
        answer = self.server.send(request)
        for change, outcome in zip(request["changes"], answer["outcomes"], strict=True):
            assert outcome["outcome"] != "refused", outcome
            if outcome["outcome"] == "restamp":
                continue
            for field, value in change["fields"].items():
                self.taken_values.add((change["id"], field, json.dumps(value)))
            if change.get("deleted_clock"):
                self.taken_values.add((change["id"], "deleted", json.dumps(change["deleted"])))
        return answer

    @rule(
        who=phones,
        key=st.sampled_from(KEYS),
        field=st.sampled_from(["place", "words", "deleted"]),
        offset=st.sampled_from(NEAR_MS),
    )
    def edit(self, who: int, key: tuple[str, str], field: str, offset: int | None = None) -> None:
        # The clock error may differ at each write.
        if offset is not None:
            self.phones[who].clock_offset_ms = offset
        if field in ("place", "name") and key[0] == "bottle":
            field = "name"
        self.written += 1
        value = self.written % 2 == 0 if field == "deleted" else f"value {self.written}."
        own_ms = self.server.now_ms + self.phones[who].clock_offset_ms
        at_ms, text = self.last_words.get((who, key[1], field), (own_ms, ""))
        if text and not 0 <= own_ms - at_ms < DRAFT_MS:
            self.stood_values.add((key[1], field, text))
        self.last_words[who, key[1], field] = (own_ms, json.dumps(value))
        self.phones[who].edit(self.server.now_ms, key, field, value)

    @precondition(lambda self: self.last_words)
    @rule(data=st.data(), ms=st.sampled_from([1000, 59_999, 60_000, 400_000]))
    def a_second_thought(self, data: st.DataObject, ms: int) -> None:
        who, id_, field = data.draw(st.sampled_from(sorted(self.last_words)))
        self.server.now_ms += ms
        self.edit(who=who, key=next(key for key in KEYS if key[1] == id_), field=field)

    @rule(ms=st.sampled_from([0, 1, 1000, 400_000]))
    def time_goes_on(self, ms: int) -> None:
        self.server.now_ms += ms

    @rule(who=phones, offset=st.sampled_from(OFFSETS_MS))
    def the_phone_clock_is_set(self, who: int, offset: int) -> None:
        self.phones[who].clock_offset_ms = offset

    @rule(who=phones)
    def a_sync(self, who: int) -> None:
        self.phones[who].sync(self.send)

    @rule(who=phones)
    def one_exchange(self, who: int) -> None:
        request = self.phones[who].request()
        self.sent.append(request)
        self.phones[who].take(request, self.send(request))

    @rule(who=phones)
    def the_answer_is_lost(self, who: int) -> None:
        request = self.phones[who].request()
        self.sent.append(request)
        self.send(request)

    @rule(who=phones)
    def the_request_is_lost(self, who: int) -> None:
        self.sent.append(self.phones[who].request())

    @precondition(lambda self: self.sent)
    @rule(data=st.data())
    def an_old_request_arrives_late_or_again(self, data: st.DataObject) -> None:
        self.send(data.draw(st.sampled_from(self.sent)))

    @rule()
    def a_backup_is_made(self) -> None:
        self.backup = self.server.backup()

    @rule()
    def the_backup_is_restored(self) -> None:
        self.server.restore(self.backup)
        self.restored = True

    @rule(who=phones, key=st.sampled_from(KEYS))
    def a_record_is_deleted_for_a_month(self, who: int, key: tuple[str, str]) -> None:
        """Purge the values, on the server first; other phones may be offline meanwhile."""
        self.phones[who].clock_offset_ms = 0
        # Make the next number even, which deletes.
        self.written += (self.written + 1) % 2
        self.edit(who=who, key=key, field="deleted")
        self.phones[who].sync(self.send)
        self.server.purge()
        self.server.now_ms += MONTH_MS
        self.purged |= {id_ for _, id_ in self.server.purge()}

    def teardown(self) -> None:
        if not hasattr(self, "phones"):
            return
        self.server.now_ms += 1
        for _ in range(PATIENCE):
            for phone in self.phones:
                phone.sync(self.send)
            if all(phone.state() == self.server.state() for phone in self.phones):
                break
        for phone in self.phones:
            assert phone.state() == self.server.state()
            assert phone.outbox == {}
        if not self.restored:
            # A revision log restored from a backup misses newer entries; phones store none.
            last = {(id_, field, text) for (_, id_, field), (_, text) in self.last_words.items()}
            written = self.taken_values | self.stood_values | last
            kept = {one for one in written if one[0] not in self.purged}
            assert kept <= self.server.kept_values()


def test_random_histories_converge_everywhere(server: Server) -> None:
    class OnThisServer(Histories):
        pass

    OnThisServer.server = server
    on_sqlite = server.app.config["DATABASE_URL"].startswith("sqlite")
    count = examples(50, wide=1500) if on_sqlite else examples(25, wide=400)
    run_state_machine_as_test(
        OnThisServer,
        settings=settings(
            max_examples=count,
            stateful_step_count=25,
            deadline=None,
            suppress_health_check=list(HealthCheck),
            # Shrinking is off: it takes minutes, and histories are short enough to read.
            phases=(Phase.explicit, Phase.reuse, Phase.generate),
        ),
    )
