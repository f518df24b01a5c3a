"""A driver for the real app behind a fault proxy: saves notes and checks the sync status."""

from __future__ import annotations

import sqlite3
from contextlib import closing, contextmanager

from playwright.sync_api import expect

from tests.browser.any_page import sync_state
from tests.browser.store.fault_proxy import wire_to
from tests.browser.waiting import wait_until

HASTE = """async (more) => {
  const { timing } = await import('/config.js');
  Object.assign(timing, { after_save_ms: 50, backoff_first_ms: 200, backoff_max_ms: 800 }, more);
}"""
NOTE = """async (words) => {
  const { newId, save } = await import('/store/write.js');
  return save('tasting', newId(), { words });
}"""
UNSENT = "async () => (await import('/store/database.js')).db.outbox.count()"
HERE = "async () => (await import('/store/database.js')).db.tasting.count()"
KEPT, ONE_HERE = "all saved", "1 note to back up"
PROBLEM = {"Content-Type": "application/problem+json"}
HTML = {"Content-Type": "text/html"}
PORTAL = "<html>Pay to go on</html>"


class AppDriver:
    """One phone on the Book screen, connected through a fault proxy."""

    def __init__(self, page, server, wire):
        self.page = page
        self.server = server
        self.wire = wire

    def note(self, words="plums"):
        return self.page.evaluate(NOTE, words)

    def hurry(self, **more):
        self.page.evaluate(HASTE, more)

    def reads(self, words):
        expect(sync_state(self.page, words)).to_be_visible()

    def ends_with(self, notes):
        """Check that every note is stored once on both sides and that the page says so."""
        # The status text updates after the tables.
        wait_until(self.page, lambda: self.page.evaluate(UNSENT) == 0, "an empty outbox")
        self.reads(KEPT)
        assert (self.page.evaluate(UNSENT), self.page.evaluate(HERE)) == (0, notes)
        with closing(sqlite3.connect(self.server.file, timeout=30)) as book:
            assert book.execute("PRAGMA integrity_check").fetchone() == ("ok",)
            counts = [
                book.execute(query).fetchone()[0]
                for query in (
                    "SELECT count(*) FROM record WHERE kind = 'tasting'",
                    "SELECT count(DISTINCT seq) FROM record",
                    "SELECT seq FROM owner",
                    "SELECT count(*) FROM revision",
                )
            ]
        # One row and one sequence number per note: a second insert would use another number.
        assert counts == [notes, notes, notes, 0]


@contextmanager
def at_the_table(browser, server):
    with wire_to(server.port) as (wire, address):
        context = browser.new_context(
            viewport={"width": 360, "height": 780}, locale="en-GB", service_workers="block"
        )
        page = context.new_page()
        page.goto(address + "/#/book")
        taster = AppDriver(page, server, wire)
        taster.reads(KEPT)
        # Import the modules now, because the tests break the connection later.
        page.evaluate("() => import('/store/write.js').then(() => true)")
        page.evaluate(UNSENT)
        taster.hurry()
        yield taster
        context.close()


def rows_of(server, query):
    """Return the single number that a query selects."""
    with closing(sqlite3.connect(server.file, timeout=30)) as book:
        return book.execute(query).fetchone()[0]
