"""Search as you type: words of notes, bottles and visits, with a thousand tastings."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.browser.blocked_sync import block_sync
from tests.browser.book_page import lines, open_book, search
from tests.browser.engines import SMALL_SCREEN
from tests.browser.live_server import LiveServer

pytestmark = pytest.mark.browser

ID = "01900000-0000-7000-8000-00000000f00"
SAVE = "async (edits) => (await import('/store/write.js')).saveMany(edits)"
REMOVE = "async (id) => (await import('/store/write.js')).remove('tasting', id)"
RESTORE = "async (id) => (await import('/store/write.js')).restore('tasting', id)"
FILL = """async () => {
    const { newId, saveMany } = await import('/store/write.js');
    const names = ['Château Œuf', 'Weingut Übermoor', 'Cantina Più', 'Bodega Añeja', 'Quinta Alta'];
    const bottles = Array.from({ length: 500 }, (_, n) => ({ kind: 'bottle', id: newId(),
      fields: { name: `${names[n % 5]} No. ${n}`, vintage: 1990 + (n % 30), country: 'FR' } }));
    const start = Date.UTC(2016, 0, 1);
    const day = (n) => `${new Date(start + n * 8 * 3600_000).toISOString().slice(0, 19)}Z`;
    await saveMany(bottles);
    await saveMany(Array.from({ length: 1000 }, (_, n) => ({ kind: 'tasting', id: newId(),
      fields: { bottle: bottles[n % 500].id, tasted_at: day(n), liking: 1 + (n % 9),
        words: `note ${n} of wet slate and quince, a little closed at first, then opening`,
        sip_words: ['lemon:2', '~smoked tea'] } })));
}"""


@pytest.fixture
def context(server: LiveServer, browser_of_tabs: Browser) -> Iterator[BrowserContext]:
    opened = browser_of_tabs.new_context(
        base_url=server.url,
        **SMALL_SCREEN,
        service_workers="block",
    )
    block_sync(opened)
    yield opened
    opened.close()


@pytest.fixture
def page(context: BrowserContext) -> Page:
    opened = context.new_page()
    open_book(opened)
    return opened


def note(page: Page, words: str, **bottle: str) -> None:
    page.evaluate(
        SAVE,
        [
            {"kind": "bottle", "id": f"{ID}1", "fields": {"name": "Mölltaler", **bottle}},
            {"kind": "visit", "id": f"{ID}3", "fields": {"name": "Owl stairs", "place": "Eule"}},
            {
                "kind": "tasting",
                "id": f"{ID}2",
                "fields": {
                    "bottle": f"{ID}1",
                    "visit": f"{ID}3",
                    "words": words,
                    "tasted_at": "2026-11-03T10:00:00+01:00",
                    "sip_words": ["green_apple", "~wet dog"],
                },
            },
        ],
    )
    expect(lines(page)).to_have_count(1)


def found(page: Page, words: str, count: int) -> None:
    search(page, words)
    words_of_it = f"{count:,} found" if count else "No matching notes"
    expect(page.get_by_text(words_of_it)).to_be_visible()


def test_search_of_1000_notes_ignores_accents(page):
    page.evaluate(FILL)
    page.reload()
    found(page, "chateau OEUF slate", 200)
    found(page, "note 987 ", 1)
    found(page, "anejA smoked lemon", 200)
    found(page, "anejA tar", 0)
    found(page, "ubermor smoked", 200)
    found(page, "2016-11", 85)
    # Results are sorted latest first.
    found(page, "ubermoor", 200)
    expect(lines(page).first).to_contain_text("Weingut Übermoor No. 496")


def test_search_finds_aroma_labels_and_custom_words(page):
    note(page, "quince", country="AT")
    for words in ("green apple", "wet dog", "austria", "owl stairs", "eule molltal"):
        found(page, words, 1)
    found(page, "green_apple", 0)


def test_search_forgives_one_typo_from_five_letters_on(page):
    note(page, "Nebbiolo, Großes Bjørn, Nero d’Avola", country="IT")
    for words in ("nebbiolo", "nebiolo", "nebbilo italy", "d'avola", "nero avolla", "bjørn"):
        found(page, words, 1)
    for words in ("nebilo", "nrro", "nebiolo france"):
        found(page, words, 0)


def test_search_index_follows_edits_and_removals(page):
    note(page, "quince")
    found(page, "molltaler quince", 1)
    page.evaluate(SAVE, [{"kind": "bottle", "id": f"{ID}1", "fields": {"name": "Gailtaler"}}])
    expect(page.get_by_text("No matching notes")).to_be_visible()
    found(page, "gailtaler", 1)
    page.evaluate(REMOVE, f"{ID}2")
    expect(
        page.get_by_text("No matching notes").or_(page.get_by_text("No notes yet."))
    ).to_be_visible()
    page.evaluate(RESTORE, f"{ID}2")
    found(page, "gailtaler", 1)


@pytest.mark.several_tabs
def test_search_finds_edits_of_another_tab(context, page):
    note(page, "quince")
    other = context.new_page()
    open_book(other)
    found(page, "medlar", 0)
    other.evaluate(SAVE, [{"kind": "tasting", "id": f"{ID}2", "fields": {"words": "medlar"}}])
    expect(page.get_by_text("1 found")).to_be_visible()
