"""Sync errors in the real app: the status text during the error, and automatic recovery."""

from __future__ import annotations

import json
import signal
import sqlite3
import threading
from contextlib import closing

import pytest
from playwright.sync_api import expect

from tests.browser.live_server import LiveServer
from tests.browser.store.app_driver import (
    HTML,
    ONE_HERE,
    PORTAL,
    PROBLEM,
    UNSENT,
    at_the_table,
    rows_of,
)
from tests.browser.waiting import LIMIT_S

pytestmark = pytest.mark.browser

BREAK = """async ({ id, liking }) => {
  const { db } = await import('/store/database.js');
  const { clocks } = await db.outbox.get(id);
  const change = { 'fields.liking': liking, 'clocks.liking': clocks.words };
  await db.tasting.update(id, change);
  await db.outbox.update(id, change);
}"""


def test_unreachable_server_is_retried(taster, live_server):
    live_server.kill()
    taster.note()
    taster.reads(ONE_HERE)
    taster.note()
    taster.reads("2 notes to back up")
    live_server.start()
    taster.ends_with(notes=2)


def test_offline_status_is_shown_and_sync_resumes_online(taster):
    taster.page.context.set_offline(True)
    # The backoff is longer than the test, so that only the online event can trigger a retry.
    taster.hurry(backoff_first_ms=600_000, backoff_max_ms=600_000)
    taster.note()
    taster.reads(ONE_HERE)
    taster.page.context.set_offline(False)
    taster.ends_with(notes=1)


def test_incomplete_response_is_requested_again(taster):
    # Lost as a whole, after its first byte, and truncated.
    for notes, cut_at in enumerate((0, 1, 60), start=1):
        taster.wire.lose(cuts=9, cut_at=cut_at)
        taster.note()
        taster.reads(ONE_HERE)
        taster.wire.lose(cuts=0)
        taster.ends_with(notes=notes)


ANSWERS = {
    "portal": (200, HTML, PORTAL, ONE_HERE),
    "portal 401": (401, HTML, PORTAL, ONE_HERE),
    "other json": (200, {"Content-Type": "application/json"}, '{"welcome": true}', ONE_HERE),
    "redirect": (302, {"Location": "/"}, "", ONE_HERE),
    "too many": (429, {"Retry-After": "1", **HTML}, "slowly", ONE_HERE),
    "busy": (503, {"Retry-After": "1", **HTML}, PORTAL, ONE_HERE),
    "broken": (500, PROBLEM, '{"code": "unexpected"}', ONE_HERE),
    "gateway": (502, HTML, PORTAL, ONE_HERE),
    "signed out": (401, PROBLEM, '{"code": "signed_out"}', "not signed in"),
    "newer server": (409, PROBLEM, '{"code": "format"}', "please update"),
}


def test_foreign_response_accepts_no_note(taster):
    taster.hurry(idle_ms=500)
    for notes, (name, (status, headers, body, words)) in enumerate(ANSWERS.items(), start=1):
        foreign = (status, headers, body)
        taster.wire.in_the_way = lambda _, foreign=foreign: foreign
        taster.note(name)
        taster.reads(words)
        assert taster.page.evaluate(UNSENT) == 1, name
        taster.wire.in_the_way = lambda _: None
        taster.ends_with(notes=notes)


def test_body_limit_of_a_proxy_halves_the_batches(taster):
    sizes = []

    def small_only(body):
        if '"changes":[{' not in body:
            return None
        sizes.append(len(json.loads(body)["changes"]))
        return (413, HTML, "too large") if sizes[-1] > 12 else None

    taster.wire.in_the_way = small_only
    taster.page.evaluate("""async () => {
      const { newId, saveMany } = await import('/store/write.js');
      await saveMany(Array.from({ length: 40 }, (_, n) =>
        ({ kind: 'tasting', id: newId(), fields: { words: `note ${n}` } })));
    }""")
    taster.ends_with(notes=40)
    assert sizes[:3] == [40, 20, 10]


def test_late_response_changes_nothing(taster):
    taster.hurry(request_timeout_ms=400)
    taster.wire.flows.clear()
    # The phone gives up; the response comes after that.
    with taster.page.expect_event("requestfailed", lambda one: one.url.endswith("/api/sync")):
        taster.note()
    taster.reads(ONE_HERE)
    taster.hurry(request_timeout_ms=30_000)
    taster.wire.flows.set()
    taster.ends_with(notes=1)


@pytest.mark.parametrize("point", ["before_commit", "after_commit"])
def test_server_crash_in_a_push_is_retried(browser, tmp_path, point):
    die_at = tmp_path / "die_at"
    server = LiveServer(tmp_path, "tests.browser.store.crashing_server", DIE_AT=str(die_at)).start()
    try:
        with at_the_table(browser, server) as taster:
            die_at.write_text(point)
            taster.note()
            assert server.wait_for_death() == -signal.SIGKILL
            taster.reads(ONE_HERE)
            server.start()
            taster.ends_with(notes=1)
    finally:
        server.kill()


def test_locked_server_database_is_retried(taster, live_server):
    with closing(sqlite3.connect(live_server.file, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        # Shorter than the lock timeout of the server.
        taster.hurry(request_timeout_ms=500)
        taster.note()
        taster.reads(ONE_HERE)
        other.execute("ROLLBACK")
    taster.hurry(request_timeout_ms=30_000)
    taster.ends_with(notes=1)


def test_rejected_note_is_shown_and_others_sync(taster):
    taster.page.context.set_offline(True)
    taster.hurry(after_save_ms=60_000)
    bad = taster.note("bad")
    taster.page.evaluate(BREAK, {"id": bad, "liking": 70})
    for _ in range(2):
        taster.note()
    taster.reads("3 notes to back up")
    taster.page.context.set_offline(False)
    taster.reads("1 item to correct")
    assert rows_of(taster.server, "SELECT count(*) FROM record") == 2
    taster.hurry(after_save_ms=50)
    taster.page.evaluate(
        "async (id) => (await import('/store/write.js')).save('tasting', id, { liking: 7 })", bad
    )
    taster.ends_with(notes=3)


def test_note_that_crashes_the_server_is_isolated(taster):
    taster.wire.in_the_way = lambda body: (
        (500, PROBLEM, '{"code": "unexpected"}') if "the one" in body else None
    )
    taster.page.context.set_offline(True)
    for words in ("plums", "the one", "figs"):
        taster.note(words)
    taster.reads("3 notes to back up")
    taster.page.context.set_offline(False)
    taster.reads(ONE_HERE)
    # The delay of the isolated record triggers the retry, not the periodic poll.
    taster.wire.in_the_way = lambda _: None
    taster.ends_with(notes=3)


def test_sync_status_is_polled_after_a_save(taster):
    taster.hurry(idle_ms=1_000)
    taster.note()
    taster.ends_with(notes=1)
    for _ in range(2):
        with taster.page.expect_response("**/api/sync"):
            pass


def test_sync_progress_is_shown_for_many_records(taster):
    taster.page.evaluate("location.hash = '#/settings'")
    expect(taster.page.get_by_role("heading", name="Settings")).to_be_visible()
    taster.page.context.set_offline(True)
    taster.page.evaluate("""async () => {
      const { newId, saveMany } = await import('/store/write.js');
      await saveMany(Array.from({ length: 1_500 }, (_, n) =>
        ({ kind: 'tasting', id: newId(), fields: { words: `note ${n}` } })));
    }""")
    turn = threading.Semaphore(0)

    def wait_for_turn(body):
        if "note" in body:
            turn.acquire(timeout=LIMIT_S)

    taster.wire.in_the_way = wait_for_turn
    taster.page.context.set_offline(False)
    bar = taster.page.get_by_role("progressbar")
    # Each request waits until what was sent before it is shown.
    for sent in (0, 500, 1_000):
        expect(taster.page.get_by_text(f"{sent:,} of 1,500")).to_be_visible()
        assert bar.evaluate("bar => bar.value") == pytest.approx(sent / 1_500)
        turn.release()
    taster.ends_with(notes=1_500)
    expect(bar).to_have_count(0)
