"""The Palate screen: charts, links to the tastings, and uncertainty with few ratings."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect

from tests.browser.live_server import LiveServer
from tests.browser.seed_server import as_own, fill, first_tastings

SMALL = """() => [...document.querySelectorAll('main a, main button')].filter((one) => {
  const box = one.getBoundingClientRect();
  return box.height > 0 && (box.height < 48 || box.width < 48);
}).map((one) => one.textContent)"""


VIEW = {"width": 360, "height": 780}
# Room for a longer translation or one more line before the page has more than four screens.
MOST_SCREENS = 3.9


@pytest.fixture(scope="module")
def served(
    tmp_path_factory: pytest.TempPathFactory,
) -> Iterator[Callable[[int | None], LiveServer]]:
    """Return a function that starts a server with some or (None) all example tastings."""
    running: dict[int | None, LiveServer] = {}

    def serve(tastings: int | None) -> LiveServer:
        if tastings not in running:
            server = LiveServer(tmp_path_factory.mktemp("server"))
            running[tastings] = server.start(*(["--demo"] if tastings is None else []))
            if tastings:
                fill(server.url, [as_own(record) for record in first_tastings(tastings)])
        return running[tastings]

    yield serve
    for server in running.values():
        server.kill()


@pytest.fixture(scope="module")
def phones(browser: Browser) -> Iterator[dict[tuple[str, str], BrowserContext]]:
    """Return the cache of phones, one for each server and language."""
    opened: dict[tuple[str, str], BrowserContext] = {}
    yield opened
    for context in opened.values():
        context.close()


@pytest.fixture
def palate_page(
    served: Any, browser: Browser, phones: dict[tuple[str, str], BrowserContext]
) -> Iterator[Callable[..., Page]]:
    """Return a function that opens the Palate screen with a number of tastings, in a language."""
    pages: list[Page] = []

    def open_room(tastings: int | None, language: str = "en-GB") -> Page:
        url = served(tastings).url
        if (url, language) not in phones:
            phones[url, language] = browser.new_context(
                viewport=VIEW, has_touch=True, locale=language, service_workers="block"
            )
        page = phones[url, language].new_page()
        pages.append(page)
        page.goto(f"{url}/#/palate")
        expect(page.locator("main h2").first).to_be_visible()
        return page

    yield open_room
    for page in pages:
        page.close()


def unfold(page: Page, title: str) -> Locator:
    """Open a folded part and return it."""
    part = page.get_by_role("group").filter(has=page.get_by_role("heading", name=title))
    part.get_by_role("heading", name=title).click()
    return part


def scales(wines: Locator) -> Locator:
    """Return the scales of one's wines, without the alcohol below them."""
    return wines.get_by_role("list").first.get_by_role("listitem")


def unfold_wines(page: Page) -> Locator:
    wines = unfold(page, "Your wines, one by one")
    expect(scales(wines)).to_have_count(7)
    return wines


def test_palate_draws_every_scale_and_describes_it(palate_page):
    page = palate_page(None)
    entries = scales(unfold_wines(page))
    liked = r"You like (very )?(low|medium|high) \w+ best \(.+\)\."
    expect(entries.get_by_text(re.compile(f"^{liked}$"))).not_to_have_count(0)
    first = entries.first.locator("svg")
    expect(first.locator(".target-marker")).to_have_count(1)
    expect(first.locator(".bracket")).to_have_count(2)
    assert first.locator(".dot.filled").count() > 0
    assert first.locator(".dot:not(.filled)").count() > 0


def test_palate_lists_the_most_important_first(palate_page):
    page = palate_page(None)
    order = ["matters a lot", "matters a bit", "matters little"]
    weights = scales(unfold_wines(page)).get_by_text(re.compile("^matters "))
    ranks = [order.index(text.strip()) for text in weights.all_inner_texts()]
    assert len(set(ranks)) > 1
    assert ranks == sorted(ranks)


@pytest.mark.parametrize(
    "language",
    [*(pytest.param(each, marks=pytest.mark.extended) for each in ("en-GB", "it-IT")), "fr-FR"],
)
@pytest.mark.parametrize(
    "tastings",
    [*(pytest.param(each, marks=pytest.mark.extended) for each in (3, 8, 20)), None],
)
def test_palate_fits_four_screens_in_each_language(palate_page, tastings, language):
    page = palate_page(tastings, language)
    expect(page.locator("#palate-why ~ details")).to_have_count(4)
    # The lists draw their rows a few at a time.
    lines = page.locator("#palate-targets ~ ul > li")
    expect(lines.nth(0 if tastings == 3 else 4)).to_be_attached()
    assert page.evaluate("document.documentElement.scrollHeight") <= MOST_SCREENS * VIEW["height"]
    assert page.evaluate("document.documentElement.scrollWidth") <= VIEW["width"]


def test_palate_begins_with_suggestions(palate_page):
    page = palate_page(None)
    expect(page.get_by_role("heading", name="You and the label")).to_be_attached()
    titles = page.locator("main section > h2").all_inner_texts()
    assert titles == [
        "What to try next",
        "What you like in a wine",
        "Styles",
        "Where this comes from",
    ]


def test_stretch_is_shown_less_sure_than_close(palate_page):
    page = palate_page(None)
    section = page.get_by_role("region", name="What to try next")
    chances = [
        [int(text) for text in re.findall(r"(\d+)\s?% chance", entries.inner_text())]
        for entries in section.get_by_role("list").all()
    ]
    close, stretch = chances
    assert len(close) == len(stretch) == 2
    assert max(stretch) < min(close)


def test_ideal_point_opens_its_tastings(palate_page):
    page = palate_page(None)
    likes = page.get_by_role("region", name="What you like in a wine")
    likes.get_by_role("button").first.click()
    sheet = page.get_by_role("dialog")
    expect(
        sheet.get_by_role("heading", name=re.compile(r"The \d+ notes behind this"))
    ).to_be_visible()
    link = sheet.get_by_role("table").get_by_role("link").first
    wine = link.inner_text().splitlines()[0]
    link.click()
    expect(page).to_have_url(re.compile(r"#/book/[0-9a-f-]{36}"))
    expect(page.get_by_role("main")).to_contain_text(wine)


def test_style_opens_its_tastings(palate_page):
    page = palate_page(None)
    row = page.get_by_role("listitem").filter(has_text="7 notes").first
    row.get_by_role("button").click()
    expect(page.get_by_role("dialog").get_by_role("link")).to_have_count(7)


def test_liked_and_disliked_styles_show_uncertainty(palate_page):
    page = palate_page(None)
    section = page.get_by_role("region", name="Styles")
    expect(section.get_by_role("heading", name="Liked", exact=True)).to_be_visible()
    expect(unfold(page, "Not for me").get_by_role("listitem").first).to_be_visible()
    labels = [
        row.get_attribute("aria-label") or ""
        for row in section.get_by_role("listitem").get_by_role("button").all()
    ]
    assert labels
    assert all(re.search(r"between [\d.]+ and [\d.]+, \d+ note", label) for label in labels)


def test_suggestion_lists_share_no_style_and_give_reasons(palate_page):
    page = palate_page(None)
    section = page.get_by_role("region", name="What to try next")
    expect(section.get_by_role("listitem")).to_have_count(4)
    for _ in range(2):
        section.get_by_role("button", name=re.compile("^All ")).first.click()
    unfold(page, "Most revealing")
    # The list expands a few rows at a time.
    expect(section.get_by_role("listitem")).to_have_count(15)
    styles = [text.splitlines()[0] for text in section.get_by_role("listitem").all_inner_texts()]
    assert len(styles) == 15
    assert len(set(styles)) == len(styles)
    for entry in section.get_by_role("listitem").all():
        assert re.search(r"(In its favour|Against it): ", entry.inner_text())
        assert re.search(r"\d+\s?% chance you’ll like it", entry.inner_text())


def test_repeats_and_guesses_are_reported(palate_page):
    page = palate_page(None)
    steady = unfold(page, "How consistent you are")
    expect(steady).to_contain_text("no forecast can always be right")
    steady.get_by_role("listitem").get_by_role("button").first.click()
    expect(page.get_by_role("dialog").get_by_role("link").first).to_be_visible()
    page.keyboard.press("Escape")
    guesses = unfold(page, "You and the label")
    expect(
        guesses.get_by_text(re.compile(r"You guess too high, by [\d.]+% alcohol"))
    ).to_be_visible()


def test_palate_without_ratings_is_explained(palate_page):
    page = palate_page(0)
    expect(page.get_by_text("this page learns what you like")).to_be_visible()
    expect(page.get_by_role("heading", name="Where to begin")).to_be_visible()
    page.get_by_role("link", name="Taste a wine").click()
    expect(page).to_have_url(re.compile("#/pour"))


def test_palate_with_three_ratings_states_its_uncertainty(palate_page):
    page = palate_page(3)
    expect(
        page.get_by_text("You’ve rated 3 wines. Until there are five, this page is mostly")
    ).to_be_visible()
    expect(page.get_by_text("Not known yet").first).to_be_visible()
    # The lower sections are rendered later.
    expect(
        page.get_by_role("region", name="What to try next").get_by_role("listitem").nth(2)
    ).to_be_visible()
    changes = unfold(page, "The last 12 months and before")
    expect(changes.get_by_text("This needs five rated wines")).to_be_visible()


def test_palate_with_ten_ratings_lists_unknown_targets(palate_page):
    page = palate_page(10)
    expect(page.get_by_text(re.compile("^Learned from 10 wines.*Not clear yet"))).to_be_visible()


@pytest.mark.parametrize("tastings", [0, 3, None])
@pytest.mark.extended
def test_nothing_overflows_and_targets_fit_a_thumb(palate_page, tastings):
    page = palate_page(tastings)
    expect(page.locator("main h2").first).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    assert page.evaluate(SMALL) == []


@pytest.mark.service_worker
def test_palate_is_shown_without_the_server(live_server, phone):
    live_server.start("--demo")
    page = phone().new_page()
    page.goto("/#/palate")
    unfold_wines(page)
    page.evaluate("navigator.serviceWorker.ready.then(() => null)")
    page.goto("/#/settings")
    expect(page.get_by_text("79 notes")).to_be_visible()
    live_server.kill()
    page.goto("/#/palate")
    page.reload()
    scales(unfold_wines(page)).get_by_role("button").first.click()
    expect(page.get_by_role("dialog").get_by_role("link").first).to_be_visible()
