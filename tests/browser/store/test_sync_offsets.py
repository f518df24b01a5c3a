"""Random clock offsets at each write: phones and server converge to equal fields and clocks."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from tests.browser.store.conftest import empty

pytestmark = pytest.mark.browser

SYNC = "**/api/sync"
MINUTE_MS = 60_000
# Sorts after every other record, so that a full batch leaves it for the next request.
LAST_ID = "ffffffff-ffff-7fff-bfff-ffffffffffff"
IDS = ["0192f0c1-2a3b-7c4d-8e5f-60718293a4b5", LAST_ID]
FIELDS = ["words", "words", "deleted"]
# Around the limit of five minutes that the server allows a clock to be ahead.
OFFSETS_MS = [0, -1_000, *(n * MINUTE_MS for n in (3, 4.5, 5.5, 15))]
WRITE = """
    globalThis.rightNow ??= Date.now.bind(Date);
    Date.now = () => rightNow() + value.offset;
    const { id, field } = value;
    if (field !== 'deleted') await book.save('tasting', id, { [field]: value.text });
    else await book[(await book.tasting(id))?.gone ? 'restore' : 'remove']('tasting', id);
"""
FORGET = "await Promise.all(book.db.tables.map((table) => table.clear()))"
OTHERS = """
    await book.saveMany(Array.from({ length: value }, (_, n) => (
      { kind: 'bottle', id: book.newId(), fields: { name: `Invented No. ${n}` } })))
"""

writes = st.tuples(
    st.just("write"),
    st.sampled_from([0, 1]),
    st.sampled_from(IDS),
    st.sampled_from(FIELDS),
    st.sampled_from(OFFSETS_MS),
)
exchanges = st.tuples(st.sampled_from(["sync", "lost_answer"]), st.sampled_from([0, 1]))
histories = st.lists(st.one_of(writes, writes, exchanges), min_size=12, max_size=24)


class History:
    """Two phones and the steps of a random history."""

    def __init__(self, phones):
        self.phones = phones
        self.values = 0

    def write(self, who, id_, field, offset):
        self.values += 1
        value = {"id": id_, "field": field, "offset": offset, "text": f"value {self.values}"}
        self.phones[who].run(WRITE, value)

    def sync(self, who):
        assert self.phones[who].sync() == "done"

    def lost_answer(self, who):
        page = self.phones[who].page
        page.route(SYNC, lambda route: (route.fetch(), route.abort("connectionreset")), times=1)
        self.phones[who].sync()
        page.unroute_all()

    def end(self, server):
        for who in (0, 1, 0, 1):
            self.sync(who)
        result = rows_of(server)
        for phone in self.phones:
            assert rows_on(phone) == result
            assert phone.outbox() == []


def rows_of(server):
    columns = "id, fields, clocks, deleted, deleted_clock"
    with closing(sqlite3.connect(server.file, timeout=30)) as book:
        rows = book.execute(f"SELECT {columns} FROM record WHERE kind = 'tasting' ORDER BY id")
        return [
            [id_, json.loads(fields), json.loads(clocks), bool(deleted), clock]
            for id_, fields, clocks, deleted, clock in rows
        ]


def rows_on(phone):
    return phone.run("""return (await book.db.tasting.orderBy('id').toArray())
      .map((row) => [row.id, row.fields, row.clocks, row.deleted, row.deleted_clock])""")


@pytest.mark.extended
def test_superseded_value_is_not_restamped(two_phones, shared_server):
    one, other = two_phones
    history = History([one, other])
    history.write(0, LAST_ID, "words", 0)
    history.sync(0)
    history.sync(1)
    one.context.set_offline(True)
    history.write(0, LAST_ID, "words", 3 * MINUTE_MS)
    history.write(0, IDS[0], "words", 15 * MINUTE_MS)
    one.run(OTHERS, 600)
    history.write(1, LAST_ID, "words", 4.5 * MINUTE_MS)
    history.sync(1)
    one.context.set_offline(False)
    history.end(shared_server)
    assert one.fields("tasting", LAST_ID) == {"words": "value 4"}
    revisions = one.run("return (await book.fetchRevisions('tasting', value)).revisions", LAST_ID)
    assert {revision["value"] for revision in revisions} == {"value 1", "value 2"}


@pytest.mark.extended
def test_restamp_passes_a_value_that_was_taken(two_phones, shared_server):
    history = History(two_phones)
    history.write(0, LAST_ID, "words", 4.5 * MINUTE_MS)
    history.sync(0)
    history.write(0, LAST_ID, "words", 15 * MINUTE_MS)
    history.end(shared_server)
    assert two_phones[1].fields("tasting", LAST_ID) == {"words": "value 2"}


@pytest.mark.extended
def test_restamp_leaves_a_confirmed_field_alone(two_phones, shared_server):
    one, other = two_phones
    history = History(two_phones)
    one.run("globalThis.rightNow = Date.now.bind(Date); Date.now = () => rightNow() + 240_000")
    one.save("tasting", {"words": "plums", "place": "here"}, LAST_ID)
    # Send only `words`; `place` stays in the outbox with the same clock.
    one.run(
        """const { fields, clocks } = await book.db.outbox.get(value);
           const { words } = fields;
           globalThis.later = { fields: { place: fields.place }, clocks: { place: clocks.place } };
           const sent = { fields: { words }, clocks: { words: clocks.words } };
           await book.db.outbox.update(value, sent);""",
        LAST_ID,
    )
    history.sync(0)
    one.run(
        """await book.db.outbox.put({ kind: 'tasting', id: value, deleted: false, held: 0,
             deleted_clock: null, errors: null, tries: 0, not_before_ms: 0, ...later });""",
        LAST_ID,
    )
    one.run("timing.max_push = 1")
    history.write(0, IDS[0], "words", 15 * MINUTE_MS)
    history.end(shared_server)
    assert other.fields("tasting", LAST_ID) == {"words": "plums", "place": "here"}


@pytest.mark.extended
def test_random_clock_offsets_converge(two_phones, shared_server):
    for phone in two_phones:
        phone.run("timing.max_push = 1")

    @settings(
        max_examples=20,
        deadline=None,
        suppress_health_check=list(HealthCheck),
        phases=(Phase.explicit, Phase.reuse, Phase.generate),
    )
    @given(histories)
    def run(steps):
        empty(shared_server)
        history = History(two_phones)
        for phone in two_phones:
            phone.run(FORGET)
        for name, *values in steps:
            getattr(history, name)(*values)
        history.end(shared_server)

    run()
