"""A taster at the app itself, with a wire to the server: notes, reads what the page says, waits."""

from __future__ import annotations

import sqlite3
from contextlib import closing, contextmanager

from playwright.sync_api import expect

from tests.browser.store.fault_proxy import wire_to
from tests.browser.waiting import wait_until

HASTE = """async (more) => {
  const { timing } = await import('/config.js');
  Object.assign(timing, { after_save_ms: 50, backoff_first_ms: 200, backoff_most_ms: 800 }, more);
}"""
NOTE = """async (words) => {
  const { newId, save } = await import('/store/write.js');
  return save('tasting', newId(), { words });
}"""
UNSENT = "async () => (await import('/store/database.js')).db.outbox.count()"
HERE = "async () => (await import('/store/database.js')).db.tasting.count()"
KEPT, ONE_HERE = "all saved", "1 note only on this phone"
PROBLEM = {"Content-Type": "application/problem+json"}
HTML = {"Content-Type": "text/html"}
PORTAL = "<html>Pay to go on</html>"


class AppDriver:
    """One phone on the Book's page, at the far end of a wire."""

    def __init__(self, page, server, wire):
        self.page = page
        self.server = server
        self.wire = wire

    def note(self, words="plums"):
        return self.page.evaluate(NOTE, words)

    def hurry(self, **more):
        self.page.evaluate(HASTE, more)

    def reads(self, words):
        state = self.page.locator(".state-words")
        expect(state).to_have_text(words)

    def ends_with(self, notes):
        """Nothing lost, nothing doubled, nothing left behind, and the page says so."""
        # The words follow the tables by a moment.
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
        # One row and one number a note: whoever takes a note twice gives out two numbers.
        assert counts == [notes, notes, notes, 0]


@contextmanager
def at_the_table(browser, server):
    with wire_to(server.port) as (wire, address):
        context = browser.new_context(viewport={"width": 360, "height": 780}, locale="en-GB")
        page = context.new_page()
        page.goto(address + "/#/book")
        taster = AppDriver(page, server, wire)
        taster.reads(KEPT)
        # What the taster asks for by its address is at hand before the wire is cut.
        page.evaluate("() => import('/store/write.js').then(() => true)")
        page.evaluate(UNSENT)
        taster.hurry()
        yield taster
        context.close()


def rows_of(server, query):
    """The one number that a query gives."""
    with closing(sqlite3.connect(server.file, timeout=30)) as book:
        return book.execute(query).fetchone()[0]
