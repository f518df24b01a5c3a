"""Phones that hold a book, to walk through every screen of it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import ExitStack

import pytest
from playwright.sync_api import Browser, Page

from tests.shots.books import phone_with
from tests.shots.screens import Screen, screens

BOOKS = ("empty", "demo")


def each_screen() -> list[tuple[str, Screen]]:
    """Every screen with every book in which it looks different."""
    return [(book, screen) for book in BOOKS for screen in screens() if book in screen.books]


def said(value: object) -> str | None:
    """How a screen is called in the name of its test."""
    return value.name if isinstance(value, Screen) else None


every_screen = pytest.mark.parametrize(("book", "screen"), each_screen(), ids=said)


class Phones:
    """One page of each book, opened when it is first asked for."""

    def __init__(self, browser: Browser, stack: ExitStack) -> None:
        self.browser = browser
        self.stack = stack
        self.opened: dict[str, Page] = {}

    def page(self, book: str) -> Page:
        if book not in self.opened:
            context = self.stack.enter_context(phone_with(self.browser, book))
            self.opened[book] = context.new_page()
            self.opened[book].set_viewport_size({"width": 360, "height": 780})
        return self.opened[book]


@pytest.fixture(scope="module")
def phones(browser: Browser) -> Iterator[Phones]:
    with ExitStack() as stack:
        yield Phones(browser, stack)
