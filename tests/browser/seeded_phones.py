"""Phones with test data, for tests that visit every screen."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import ExitStack

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Request

from tests.browser.conftest import LiveServer
from tests.browser.console_watch import watched
from tests.browser.pseudo_localization import mark_words
from tests.browser.visitor import UPRIGHT, Visitor
from tests.screenshots.books import phone_at, served
from tests.screenshots.screens import Screen, screens

BOOKS = ("empty", "demo")
# The browser's font size settings, doubled.
TWICE = {"standard": 32, "fixed": 26}


def each_screen() -> list[tuple[str, Screen]]:
    """Return every screen with every data set for which it looks different."""
    return [(book, screen) for book in BOOKS for screen in screens() if book in screen.books]


def screen_name(value: object) -> str | None:
    """Return the name of a screen, for the test id."""
    return value.name if isinstance(value, Screen) else None


class Phones:
    """Phones for each data set and language, created on first use."""

    def __init__(self, browser: Browser, stack: ExitStack, *, bypass_csp: bool = False) -> None:
        self.browser = browser
        self.stack = stack
        self.bypass_csp = bypass_csp
        self.servers: dict[str, LiveServer] = {}
        self.contexts: dict[tuple[str, str, bool], BrowserContext] = {}
        self.pages: dict[str, Page] = {}
        self.visitors: dict[tuple[str, str, bool, bool], Visitor] = {}
        self.heard: dict[Visitor, tuple[list[str], list[Request]]] = {}

    def context(self, book: str, locale: str = "en-GB", marked: bool = False) -> BrowserContext:
        if book not in self.servers:
            self.servers[book] = self.stack.enter_context(served(book))
        key = (book, locale, marked)
        if key not in self.contexts:
            phone = phone_at(
                self.browser, self.servers[book], locale=locale, bypass_csp=self.bypass_csp
            )
            self.contexts[key] = self.stack.enter_context(phone)
            if marked:
                mark_words(self.contexts[key])
        return self.contexts[key]

    def page(self, book: str) -> Page:
        """Return a page with this data set."""
        if book not in self.pages:
            self.pages[book] = self.context(book).new_page()
            self.pages[book].set_viewport_size(UPRIGHT)
        return self.pages[book]

    def visitor(
        self, book: str, locale: str = "en-GB", *, marked: bool = False, large: bool = False
    ) -> Visitor:
        """Return a visitor, with pseudo-localized text or a doubled font size if requested."""
        key = (book, locale, marked, large)
        if key not in self.visitors:
            context = self.context(book, locale, marked)
            self.visitors[key] = Visitor(context)
            self.heard[self.visitors[key]] = watched(self.visitors[key].page)
            if large:
                session = context.new_cdp_session(self.visitors[key].page)
                session.send("Page.setFontSizes", {"fontSizes": TWICE})
        return self.visitors[key]


@pytest.fixture(scope="module")
def phones(browser: Browser) -> Iterator[Phones]:
    with ExitStack() as stack:
        yield Phones(browser, stack)
