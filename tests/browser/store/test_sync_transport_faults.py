"""Broken connections and server crashes during sync: each note is stored exactly once."""

from __future__ import annotations

import signal
import sqlite3

import pytest

from tests.browser.live_server import LiveServer
from tests.browser.store.conftest import books_at
from tests.browser.store.fault_proxy import wire_to

pytestmark = pytest.mark.browser


@pytest.fixture
def mortal(tmp_path):
    die_at = str(tmp_path / "die_at")
    server = LiveServer(tmp_path, "tests.browser.store.crashing_server", DIE_AT=die_at).start()
    yield server
    server.kill()


def in_the_book(server):
    """Return (records, sequence number, revisions) of the database."""
    with sqlite3.connect(server.file) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        found = tuple(
            connection.execute(query).fetchone()[0]
            for query in (
                "SELECT count(*) FROM record",
                "SELECT seq FROM owner",
                "SELECT count(*) FROM revision",
            )
        )
    connection.close()
    return found


@pytest.fixture
def wired(browser, live_server):
    with (
        wire_to(live_server.port) as (wire, address),
        books_at(browser, address) as opened,
    ):
        yield wire, opened


def test_request_repeated_by_the_browser_is_one_record(wired, live_server):
    wire, open_book = wired
    driver = open_book()
    # Open idle connections, because the browser repeats a failed request on each of them.
    driver.run("await Promise.all(Array.from({ length: 6 }, () => fetch('/healthz')))")
    driver.sync()
    driver.save("bottle", {"name": "Invented No. 3"})
    asked = []
    driver.page.on("request", lambda request: asked.append(request.url))
    wire.lose(cuts=1)
    assert driver.sync() == "done"
    assert len([url for url in asked if url.endswith("/api/sync")]) == 1
    assert wire.passed == 2
    assert (driver.outbox(), in_the_book(live_server)) == ([], (1, 1, 0))


@pytest.mark.extended
def test_truncated_response_counts_as_none(wired, live_server):
    wire, open_book = wired
    driver = open_book()
    driver.save_bottles(20)
    wire.lose(cuts=1, cut_at=60)
    assert driver.sync() == "waiting"
    assert (len(driver.outbox()), driver.meta("server")) == (20, None)
    assert in_the_book(live_server) == (20, 20, 0)
    assert driver.sync() == "done"
    assert (driver.outbox(), driver.count("bottle")) == ([], 20)
    assert in_the_book(live_server) == (20, 20, 0)


@pytest.mark.extended
@pytest.mark.parametrize(("point", "kept"), [("before_commit", 0), ("after_commit", 20)])
def test_server_crash_in_a_push_stores_all_or_nothing(mortal, browser, point, kept):
    with books_at(browser, mortal.url) as open_book:
        driver = open_book()
        driver.sync()
        driver.save_bottles(20)
        (mortal.folder / "die_at").write_text(point)
        assert driver.sync() == "waiting"
        assert mortal.wait_for_death() == -signal.SIGKILL
        assert (len(driver.outbox()), in_the_book(mortal)) == (20, (kept, kept, 0))
        mortal.start()
        assert driver.sync() == "done"
        other = open_book()
        other.sync()
        assert (driver.outbox(), other.count("bottle")) == ([], 20)
        assert in_the_book(mortal) == (20, 20, 0)
