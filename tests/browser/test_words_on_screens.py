"""Every word on every screen comes from the message files, from Intl, or from the book itself."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import ExitStack

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.marked_words import mark_words, unmarked
from tests.browser.screens_held import each_screen
from tests.shots.books import phone_with
from tests.shots.screens import Screen, back_to_the_note

pytestmark = pytest.mark.browser
# Words that only a test types.
TYPED = ("Ottersbrunn", "Zwillingshof", "Weingart")
SHOP_LIST = "Ottersbrunn Riesling;12,5 %;14,90\nZwillingshof;99 %;8,00\nWeingart Barolo;14 %;abc"
OPEN_FOLDS = "() => { for (const fold of document.querySelectorAll('details')) fold.open = true; }"
QUIET_MS = 250

Press = Callable[[Page], None]


def in_turn(*steps: Press) -> Press:
    def press(page: Page) -> None:
        for step in steps:
            step(page)

    return press


def taps(selector: str) -> Press:
    return lambda page: page.locator(selector).first.click()


def fills(selector: str, text: str) -> Press:
    return lambda page: page.locator(selector).first.fill(text)


def behind() -> list[Screen]:
    """States of the screens in which something more is said."""
    add = in_turn(taps(".at-thumb button"), fills("dialog .name-input", "Riesling"))
    lists = in_turn(taps(".at-thumb .button:not(.primary)"), fills("dialog textarea", SHOP_LIST))
    return [
        Screen("serving a style", "#/pour/serving?style=frt_fino"),
        Screen("visit missing", "#/pour/visit/01900000-0000-7000-8000-00000000dead"),
        Screen("pour with a fault", "#/pour", in_turn(back_to_the_note, too_strong)),
        Screen("shelf add named", "#/shelf", add, is_leaf=True),
        Screen("shelf scan", "#/shelf", in_turn(add, scan), is_leaf=True),
        Screen("shelf list read", "#/shelf", lists, is_leaf=True),
        Screen("settings join", "#/settings/join/00000000000000000000"),
    ]


def too_strong(page: Page) -> None:
    line = page.locator(".style-and-strength input").first
    line.fill("199")
    line.blur()


def scan(page: Page) -> None:
    """There is no camera here, and the leaf says so."""
    page.locator(".scan-open button").click()
    expect(page.locator("dialog[open]")).to_have_count(2)
    page.wait_for_timeout(QUIET_MS)
    page.locator("dialog[open]").last.locator(".sheet-head button").click()


MarkedPage = Callable[[str], Page]


@pytest.fixture(scope="module")
def marked_page(browser: Browser) -> Iterator[MarkedPage]:
    """The page of a phone that holds a book and shows marked words."""
    opened: dict[str, Page] = {}
    with ExitStack() as stack:

        def page(book: str) -> Page:
            if book not in opened:
                context = stack.enter_context(phone_with(browser, book))
                mark_words(context)
                opened[book] = context.new_page()
                opened[book].set_viewport_size({"width": 360, "height": 780})
            return opened[book]

        yield page


def read_aloud(page: Page, screen: Screen) -> list[str]:
    """What the screen says in words of its own, once everything on it has come and is unfolded."""
    screen.open(page)
    page.evaluate(OPEN_FOLDS)
    page.wait_for_load_state("networkidle")
    page.wait_for_timeout(QUIET_MS)
    return unmarked(page, TYPED)


def named(value: object) -> str | None:
    return value.name if isinstance(value, Screen) else None


@pytest.mark.parametrize(
    ("book", "screen"), [*each_screen(), *(("demo", screen) for screen in behind())], ids=named
)
def test_every_word_on_a_screen_comes_from_the_message_files(
    marked_page: MarkedPage, book: str, screen: Screen
) -> None:
    assert read_aloud(marked_page(book), screen) == []


def test_the_words_were_marked_and_a_word_out_of_the_code_would_be_found(
    marked_page: MarkedPage,
) -> None:
    page = marked_page("empty")
    assert read_aloud(page, Screen("book", "#/book")) == []
    assert page.locator("h1").inner_text() == "\uff22\uff4f\uff4f\uff4b"
    page.evaluate("""() => {
      document.querySelector('main').append('Not a message');
      document.querySelector('h1').setAttribute('aria-label', 'book.no_such_key');
    }""")
    assert unmarked(page) == ["aria-label: book.no_such_key", "main: Not a message"]
