"""Phones that hold a book, to walk through every screen of it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import ExitStack

import pytest
from playwright.sync_api import Browser, BrowserContext, Page

from tests.browser.conftest import LiveServer
from tests.browser.pseudo_localization import mark_words
from tests.browser.visitor import UPRIGHT, Visitor
from tests.screenshots.books import phone_at, served
from tests.screenshots.screens import Screen, screens

BOOKS = ("empty", "demo")
# The browser's own setting of letters, of which a taster may choose one twice as large.
TWICE = {"standard": 32, "fixed": 26}


def each_screen() -> list[tuple[str, Screen]]:
    """Every screen with every book in which it looks different."""
    return [(book, screen) for book in BOOKS for screen in screens() if book in screen.books]


def said(value: object) -> str | None:
    """How a screen is called in the name of its test."""
    return value.name if isinstance(value, Screen) else None


class Phones:
    """Phones of each book and language, made when they are first asked for."""

    def __init__(self, browser: Browser, stack: ExitStack) -> None:
        self.browser = browser
        self.stack = stack
        self.servers: dict[str, LiveServer] = {}
        self.contexts: dict[tuple[str, str, bool], BrowserContext] = {}
        self.pages: dict[str, Page] = {}
        self.visitors: dict[tuple[str, str, bool, bool], Visitor] = {}

    def context(self, book: str, locale: str = "en-GB", marked: bool = False) -> BrowserContext:
        if book not in self.servers:
            self.servers[book] = self.stack.enter_context(served(book))
        key = (book, locale, marked)
        if key not in self.contexts:
            phone = phone_at(self.browser, self.servers[book], locale=locale)
            self.contexts[key] = self.stack.enter_context(phone)
            if marked:
                mark_words(self.contexts[key])
        return self.contexts[key]

    def page(self, book: str) -> Page:
        """One page of this book, as it comes."""
        if book not in self.pages:
            self.pages[book] = self.context(book).new_page()
            self.pages[book].set_viewport_size(UPRIGHT)
        return self.pages[book]

    def visitor(
        self, book: str, locale: str = "en-GB", *, marked: bool = False, large: bool = False
    ) -> Visitor:
        """A page to walk through the screens: with marked words, or with letters twice as large."""
        key = (book, locale, marked, large)
        if key not in self.visitors:
            context = self.context(book, locale, marked)
            self.visitors[key] = Visitor(context)
            if large:
                session = context.new_cdp_session(self.visitors[key].page)
                session.send("Page.setFontSizes", {"fontSizes": TWICE})
        return self.visitors[key]


@pytest.fixture(scope="module")
def phones(browser: Browser) -> Iterator[Phones]:
    with ExitStack() as stack:
        yield Phones(browser, stack)
