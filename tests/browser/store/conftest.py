"""A phone with the book's own modules in the hand: a bare page of the origin, without a screen."""

from __future__ import annotations

import sqlite3
import uuid
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext

from tests.browser.live_server import LiveServer
from tests.browser.store.app_driver import AppDriver, at_the_table
from tests.browser.waiting import LIMIT_S

# A page of the origin that starts nothing by itself, so that a test decides when to sync.
BARE_PAGE = "/spec/record.json"
MODULES = (
    "store/open store/database store/write store/queries store/revisions sync/index "
    "store/example photos/photos photos/upload store/persistence store/palate_cache "
    "store/open_pour pwa/app_update store/record"
)
OPEN = """async (names) => {
  const modules = await Promise.all(names.map((name) => import(`/${name}.js`)));
  globalThis.book = Object.assign({}, ...modules);
  globalThis.timing = (await import('/config.js')).timing;
  return book.openStore();
}"""


class Hand:
    """One page of one phone, and what a test does with it."""

    def __init__(self, context: BrowserContext, url: str):
        self.context = context
        self.url = url
        self.page = context.new_page()
        # Shown with the report of a test that fails.
        self.page.on("console", lambda message: print("console:", message.text))
        self.page.on(
            "requestfailed", lambda request: print("failed:", request.url, request.failure)
        )
        self.open()

    def open(self) -> None:
        """Load the page, anew if need be, and open the book in it."""
        self.page.goto(self.url + BARE_PAGE)
        self.page.evaluate(OPEN, MODULES.split())

    def run(self, script: str, value: Any = None) -> Any:
        """The value of an async script, in which `book` is everything that MODULES export."""
        return self.page.evaluate(f"async (value) => {{ {script} }}", value)

    def until(self, condition: str) -> None:
        """Wait for a condition in JavaScript; the page's policy forbids Playwright's own way."""
        self.run(
            f"""const end = performance.now() + {LIMIT_S * 1000};
            while (!({condition})) {{
              if (performance.now() > end) throw new Error('never came true: ' + value);
              await new Promise((go) => setTimeout(go, 20));
            }}""",
            condition,
        )

    def save(self, kind: str, fields: dict[str, Any], id_: str | None = None) -> str:
        return self.run(
            "return book.save(value.kind, value.id ?? book.newId(), value.fields)",
            {"kind": kind, "id": id_, "fields": fields},
        )

    def save_bottles(self, count: int) -> None:
        self.run(
            """await book.saveMany(Array.from({ length: value }, (_, n) =>
                 ({ kind: 'bottle', id: book.newId(), fields: { name: `Invented No. ${n}` } })))""",
            count,
        )

    def sync(self) -> str:
        return self.run("return book.syncNow()")

    def row(self, kind: str, id_: str) -> dict[str, Any] | None:
        return self.run("return await book.db[value[0]].get(value[1]) ?? null", [kind, id_])

    def fields(self, kind: str, id_: str) -> dict[str, Any]:
        row = self.row(kind, id_)
        assert row is not None
        return row["fields"]

    def count(self, table: str) -> int:
        return self.run("return book.db[value].count()", table)

    def outbox(self) -> list[dict[str, Any]]:
        return self.run("return book.db.outbox.toArray()")

    def meta(self, name: str) -> dict[str, Any]:
        return self.run("return book.db.meta.get(value)", name)

    def state(self) -> dict[str, Any]:
        return self.run("return book.syncStatus.value")


@pytest.fixture(scope="session")
def shared_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[LiveServer]:
    """A server for all the tests that neither stop nor alter it; `shared_url` starts it."""
    # All tests of a minute together ask for more than a phone may.
    server = LiveServer(tmp_path_factory.mktemp("shared"), SECONDNOSE_MAX_REQUESTS="0")
    yield server
    server.kill()


EMPTY = ("record", "revision", "device", "photo_bytes", "sign_in", "pairing", "tally")


@pytest.fixture
def url(shared_url: str) -> str:
    return shared_url


@pytest.fixture
def shared_url(shared_server: LiveServer) -> str:
    """Where an empty book is served, by a process of its own."""
    # Here and not in the session's fixture: pytest would give one failed start to all tests.
    if not shared_server.is_running():
        shared_server.start()
    empty(shared_server)
    return shared_server.url


def empty(server: LiveServer) -> None:
    """Leave nothing of a book behind, and another epoch."""
    connection = sqlite3.connect(server.file, timeout=30)
    with connection:
        for table in EMPTY:
            connection.execute(f"DELETE FROM {table}")
        connection.execute("UPDATE owner SET max_clock_ms = 0")
        connection.execute("UPDATE safe SET epoch = ?", (uuid.uuid4().hex,))
    connection.close()


@contextmanager
def books_at(browser: Browser, url: str) -> Iterator[Callable[..., Hand]]:
    contexts: list[BrowserContext] = []

    def opened(context: BrowserContext | None = None) -> Hand:
        if context is None:
            context = browser.new_context(
                viewport={"width": 360, "height": 780}, service_workers="block"
            )
            context.set_default_timeout(LIMIT_S * 1000)
            contexts.append(context)
        return Hand(context, url)

    yield opened
    for context in contexts:
        context.close()


@pytest.fixture
def open_book(browser: Browser, url: str) -> Iterator[Callable[..., Hand]]:
    """Opens a book: on a new phone, or in another tab of the given one."""
    with books_at(browser, url) as opened:
        yield opened


@pytest.fixture
def open_live_book(browser: Browser, live_server: LiveServer) -> Iterator[Callable[..., Hand]]:
    """As `open_book`, at a server process that may be killed and restored."""
    with books_at(browser, live_server.url) as opened:
        yield opened


@pytest.fixture
def start_phone(
    phone: Callable[..., BrowserContext], live_server: LiveServer
) -> Callable[[Path], Hand]:
    """Starts the phone whose disk is a folder; the same folder later is the same phone again."""
    return lambda profile: Hand(phone(profile), live_server.url)


@pytest.fixture
def taster(browser: Browser, live_server: LiveServer) -> Iterator[AppDriver]:
    """Somebody at the app itself, at the far end of a wire."""
    with at_the_table(browser, live_server) as one:
        yield one


@pytest.fixture
def hand(open_book: Callable[..., Hand]) -> Hand:
    return open_book()


@pytest.fixture
def two_phones(open_book: Callable[..., Hand]) -> tuple[Hand, Hand]:
    return open_book(), open_book()
