"""A phone with the book's own modules in the hand: a bare page of the origin, without any screen."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page

# A page of the origin that starts nothing by itself, so that a test decides when to sync.
BARE_PAGE = "/spec/record.json"
MODULES = (
    "store tables write read sync search example photos storage palate open_pour update record"
)
OPEN = """async (names) => {
  const modules = await Promise.all(names.map((name) => import(`/book/${name}.js`)));
  globalThis.book = Object.assign({}, ...modules);
  globalThis.timing = (await import('/book/sync/timing.js')).timing;
  return book.openBook();
}"""


class Hand:
    """One page of one phone, and what a test does with it."""

    def __init__(self, context: BrowserContext, url: str):
        self.context = context
        self.url = url
        self.page = context.new_page()
        self.page.goto(url + BARE_PAGE)
        self.opened = self.page.evaluate(OPEN, MODULES.split())

    def run(self, script: str, value: Any = None) -> Any:
        """The value of an async script, in which `book` is everything that static/book offers."""
        return self.page.evaluate(f"async (value) => {{ {script} }}", value)

    def save(self, kind: str, fields: dict[str, Any], id_: str | None = None) -> str:
        return self.run(
            "return book.save(value.kind, value.id ?? book.newId(), value.fields)",
            {"kind": kind, "id": id_, "fields": fields},
        )

    def sync(self) -> str:
        return self.run("return book.syncNow()")

    def row(self, kind: str, id_: str) -> dict[str, Any] | None:
        row = self.run("return await book.db[value[0]].get(value[1]) ?? null", [kind, id_])
        return row

    def fields(self, kind: str, id_: str) -> dict[str, Any]:
        row = self.row(kind, id_)
        assert row is not None
        return row["fields"]

    def outbox(self) -> list[dict[str, Any]]:
        return self.run("return book.db.outbox.toArray()")

    def meta(self, name: str) -> dict[str, Any]:
        return self.run("return book.db.meta.get(value)", name)

    def state(self) -> dict[str, Any]:
        return self.run("return book.syncState.value")


@pytest.fixture
def url(live_server: Any) -> str:
    return live_server.url


@pytest.fixture
def open_book(phone: Callable[..., BrowserContext], url: str) -> Callable[..., Hand]:
    """Opens a book: on a new phone, in another tab of one, or on an earlier phone's profile."""

    def opened(
        context: BrowserContext | None = None, profile_dir: Path | None = None, at: str | None = None
    ) -> Hand:
        return Hand(context or phone(profile_dir), at or url)

    return opened


@pytest.fixture
def hand(open_book: Callable[..., Hand]) -> Hand:
    return open_book()


@pytest.fixture
def two_phones(open_book: Callable[..., Hand]) -> tuple[Hand, Hand]:
    return open_book(), open_book()


def refuse_network(page: Page) -> None:
    page.route("**/api/**", lambda route: route.abort("connectionrefused"))


def restore_network(page: Page) -> None:
    page.unroute_all(behavior="ignoreErrors")
