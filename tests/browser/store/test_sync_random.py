"""Random sessions of three phones: notes, edits, deletions, syncs, lost responses, killed tabs.

Each run has a seed, which is part of the test name.
"""

from __future__ import annotations

import json
import random

import pytest

from tests.browser.store.conftest import books_at
from tests.browser.store.fault_proxy import wire_to

pytestmark = pytest.mark.browser

SYNC = "**/api/sync"
STEPS = 20
SEEDS = (
    1,
    pytest.param(20, marks=pytest.mark.extended),
    pytest.param(300, marks=pytest.mark.extended),
)


class Evening:
    """Random actions of three phones on a few notes, and every saved text."""

    def __init__(self, phones, wire, seed):
        self.phones = phones
        self.wire = wire
        self.chance = random.Random(seed)
        self.ids = []
        self.saved = set()
        self.texts = 0
        for phone in phones:
            self.nothing_is_a_draft(phone)

    def nothing_is_a_draft(self, phone):
        """Disable drafts, so that every saved text stays in the state or the revisions."""
        phone.run("timing.draft_ms = 0")

    def note(self, phone):
        self.ids.append(phone.save("tasting", {"liking": self.chance.randint(1, 9)}))

    def edit(self, phone):
        if not self.ids:
            return
        id_ = self.chance.choice(self.ids)
        self.texts += 1
        text = f"text {self.texts}."
        self.saved.add((id_, text))
        phone.save("tasting", {"words": text, "body": self.chance.randint(0, 10)}, id_)

    def remove(self, phone):
        here = phone.run("return (await book.allOf('tasting')).map((row) => row.id)")
        if here:
            phone.run("await book.remove('tasting', value)", self.chance.choice(sorted(here)))

    def sync(self, phone):
        assert phone.sync() == "done"

    def lost_answer(self, phone):
        # More cuts than idle connections, because the browser repeats the request on each.
        self.wire.lose(cuts=9, cut_at=self.chance.choice([0, 1, 40]))
        phone.sync()
        self.wire.lose(cuts=0)

    def dead_tab(self, phone):
        phone.run("globalThis.syncing = book.syncNow().catch(() => undefined); return null")
        phone.page.close(run_before_unload=False)
        phone.page = phone.context.new_page()
        phone.open()
        self.nothing_is_a_draft(phone)

    def wrong_clock(self, phone):
        hours = self.chance.choice([-90_000, -30, 2, 90_000])
        phone.run(
            """const { now } = Date;
               Date.now = () => now() + value;""",
            hours * 3_600_000,
        )

    def go_on(self):
        doings = [self.note, self.edit, self.edit, self.edit, self.remove]
        doings += [self.sync, self.sync, self.lost_answer, self.dead_tab, self.wrong_clock]
        self.chance.choice(doings)(self.chance.choice(self.phones))


@pytest.mark.parametrize("seed", SEEDS)
def test_random_sessions_converge_on_every_phone(browser, live_server, seed):
    with (
        wire_to(live_server.port) as (wire, address),
        books_at(browser, address) as open_book,
    ):
        evening = Evening([open_book() for _ in range(3)], wire, seed)
        for _ in range(STEPS):
            evening.go_on()
        for _ in range(3):
            for phone in evening.phones:
                assert phone.sync() == "done"
        books = [
            json.dumps(phone.run("return book.db.tasting.orderBy('id').toArray()"), sort_keys=True)
            for phone in evening.phones
        ]
        assert len(set(books)) == 1
        assert all(phone.outbox() == [] for phone in evening.phones)
        reader = evening.phones[0]
        for id_, text in evening.saved:
            revisions = reader.run(
                "return (await book.fetchRevisions('tasting', value)).revisions", id_
            )
            kept = {one["value"] for one in revisions} | {reader.fields("tasting", id_)["words"]}
            assert text in kept
