"""Fixtures for tests that call the client modules directly, on a page without the app."""

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

# A file of the origin that runs no script, so that a test decides when to sync.
BARE_PAGE = "/spec/record.json"
MODULES = (
    "store/open store/database store/write store/queries sync/index "
    "store/example photos/photos photos/upload store/persistence store/palate_cache "
    "store/open_pour pwa/app_update store/record"
)
OPEN = """async (names) => {
  const modules = await Promise.all(names.map((name) => import(`/${name}.js`)));
  globalThis.book = Object.assign({}, ...modules);
  // Imported when called, because its packed file brings the files of most screens with it.
  book.fetchRevisions = async (...given) =>
    (await import('/store/revisions.js')).fetchRevisions(...given);
  globalThis.timing = (await import('/config.js')).timing;
  return book.openStore();
}"""


class StoreDriver:
    """One page of one phone, and the calls that tests make on it."""

    def __init__(self, context: BrowserContext, url: str):
        self.context = context
        self.url = url
        self.page = context.new_page()
        # Printed, because pytest shows the output of failing tests.
        self.page.on("console", lambda message: print("console:", message.text))
        self.page.on(
            "requestfailed", lambda request: print("failed:", request.url, request.failure)
        )
        self.open()

    def open(self) -> None:
        """Load or reload the page and open the store."""
        self.page.goto(self.url + BARE_PAGE)
        self.page.evaluate(OPEN, MODULES.split())

    def run(self, script: str, value: Any = None) -> Any:
        """Return the value of an async script; `book` has all exports of MODULES."""
        return self.page.evaluate(f"async (value) => {{ {script} }}", value)

    def until(self, condition: str) -> None:
        """Wait for a JavaScript condition; the CSP forbids Playwright's wait_for_function."""
        self.run(
            f"""const end = performance.now() + {LIMIT_S * 1000};
            while (!({condition})) {{
              if (performance.now() > end) throw new Error('never came true: ' + value);
              await new Promise((go) => setTimeout(go, 20));
            }}""",
            condition,
        )

    def install(self) -> None:
        """Install the app's files, and let them control the page."""
        self.run("await book.registerServiceWorker(); await navigator.serviceWorker.ready")
        self.until("navigator.serviceWorker.controller")

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
    """Create the server of all tests that neither stop nor alter it; `shared_url` starts it."""
    # No rate limit, because the tests together exceed the limit of one phone.
    server = LiveServer(tmp_path_factory.mktemp("shared"), SECONDNOSE_MAX_REQUESTS="0")
    yield server
    server.kill()


EMPTY = ("record", "revision", "device", "photo_bytes", "sign_in", "pairing", "tally", "daily_seq")


@pytest.fixture
def url(shared_url: str) -> str:
    return shared_url


@pytest.fixture
def shared_url(shared_server: LiveServer) -> str:
    """Return the address of the shared server, emptied."""
    # Not started in the session fixture, because pytest would repeat one failure in all tests.
    if not shared_server.is_running():
        shared_server.start()
    empty(shared_server)
    return shared_server.url


def empty(server: LiveServer) -> None:
    """Delete all records, photos and sign-ins, and change the epoch."""
    connection = sqlite3.connect(server.file, timeout=30)
    with connection:
        for table in EMPTY:
            connection.execute(f"DELETE FROM {table}")
        connection.execute("UPDATE owner SET max_clock_ms = 0")
        connection.execute("UPDATE safe SET epoch = ?", (uuid.uuid4().hex,))
    connection.close()


@contextmanager
def books_at(browser: Browser, url: str) -> Iterator[Callable[..., StoreDriver]]:
    contexts: list[BrowserContext] = []

    def opened(context: BrowserContext | None = None) -> StoreDriver:
        if context is None:
            context = browser.new_context(
                viewport={"width": 360, "height": 780}, service_workers="block"
            )
            context.set_default_timeout(LIMIT_S * 1000)
            contexts.append(context)
        return StoreDriver(context, url)

    yield opened
    for context in contexts:
        context.close()


@pytest.fixture
def open_book(browser_of_tabs: Browser, url: str) -> Iterator[Callable[..., StoreDriver]]:
    """Return a function that opens the store on a new phone, or in another tab of a given one."""
    with books_at(browser_of_tabs, url) as opened:
        yield opened


@pytest.fixture
def open_live_book(
    browser: Browser, live_server: LiveServer
) -> Iterator[Callable[..., StoreDriver]]:
    """Return the same as `open_book`, for a server that tests may kill and restore."""
    with books_at(browser, live_server.url) as opened:
        yield opened


@pytest.fixture
def start_phone(
    phone: Callable[..., BrowserContext], live_server: LiveServer
) -> Callable[[Path], StoreDriver]:
    """Return a function that starts a phone; the same profile folder is the same phone."""
    return lambda profile: StoreDriver(phone(profile), live_server.url)


@pytest.fixture
def taster(browser: Browser, live_server: LiveServer) -> Iterator[AppDriver]:
    """Open the real app on a phone that connects through a fault proxy."""
    with at_the_table(browser, live_server) as one:
        yield one


@pytest.fixture
def driver(open_book: Callable[..., StoreDriver]) -> StoreDriver:
    return open_book()


@pytest.fixture
def two_phones(open_book: Callable[..., StoreDriver]) -> tuple[StoreDriver, StoreDriver]:
    return open_book(), open_book()
