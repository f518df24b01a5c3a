"""Scenario: an offline review of preferences, uncertainty, changes and suggestions."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.engines import both_engines
from tests.browser.live_server import LiveServer

pytestmark = [pytest.mark.browser, both_engines, pytest.mark.service_worker]


# The suggestion that has the focus.
FOCUSED = """() => document.activeElement
  .closest('section[aria-labelledby="palate-next"] li')?.innerText"""


@pytest.fixture(scope="module")
def phone_on_sunday(tmp_path_factory: Any, playwright: Any, engine: Any) -> Iterator[Page]:
    """Open a synced phone with example data, and kill its server."""
    server = LiveServer(tmp_path_factory.mktemp("server")).start("--demo")
    folder = tmp_path_factory.mktemp("phone")
    with engine.phone(playwright, folder, base_url=server.url) as context:
        page = context.pages[0]
        page.goto("/#/settings")
        expect(page.get_by_text("79 notes")).to_be_visible()
        page.get_by_role("link", name="Palate").click()
        expect(page.get_by_role("heading", name="You and the label")).to_be_attached()
        page.evaluate("navigator.serviceWorker.ready.then(() => null)")
        server.kill()
        yield page


@pytest.fixture
def evening(phone_on_sunday: Page) -> Page:
    """Open the Palate screen on that phone."""
    page = phone_on_sunday
    page.goto("about:blank")
    page.goto("/#/palate")
    expect(page.get_by_role("heading", name="You and the label")).to_be_attached()
    return page


def region(page: Page, name: str) -> Any:
    return page.get_by_role("region", name=name)


def unfolded(page: Page, title: str) -> Any:
    """Open a folded part and return it."""
    part = page.get_by_role("group").filter(has=page.get_by_role("heading", name=title))
    part.get_by_role("heading", name=title).click()
    return part


def test_review_works_offline_and_links_to_tastings(evening):
    page = evening
    lead = page.get_by_text(re.compile("^Learned from 79 sample notes"))
    expect(lead).to_have_text(re.compile(r"Learned from 79 sample notes\. Clearest so far: .+\."))

    # What do I like, and how sure is that?
    glass = region(page, "What you like in a wine")
    expect(
        glass.get_by_text(re.compile(r"You like (very )?high acidity best \(.+\)\."))
    ).to_be_visible()
    expect(
        glass.get_by_text(re.compile(r"You like [\d.]+% to [\d.]+% best \(.+\)\."))
    ).to_be_visible()

    # Which should I stop buying?
    disliked = unfolded(page, "Not for me")
    expect(disliked.get_by_role("button")).not_to_have_count(0)

    # What changed this year?
    changes = unfolded(page, "The last 12 months and before")
    expect(changes.get_by_text(re.compile(r"[\d.]+ then, [\d.]+ now"))).not_to_have_count(0)
    rating = changes.get_by_role("listitem").first.inner_text().replace("\u2212", "-")
    shift, before, now = (float(each) for each in re.findall(r"[+-]?\d\.\d", rating))
    assert shift == pytest.approx(now - before)

    # Which styles should I try, and why?
    nearest = region(page, "What to try next").get_by_role("listitem").first
    expect(nearest).to_contain_text("In its favour: ")
    nearest.get_by_role("button").click()
    sheet = page.get_by_role("dialog")
    expect(
        sheet.get_by_text(re.compile(r"We expect you to rate it [\d.]+, most likely between"))
    ).to_be_visible()
    page.keyboard.press("Escape")

    # How repeatable am I? The answer links to the tastings.
    steady = unfolded(page, "How consistent you are")
    expect(steady).to_contain_text(re.compile(r"your rating changes by about [\d.]+\."))
    steady.get_by_role("listitem").get_by_role("button").first.click()
    links = sheet.get_by_role("link")
    expect(links).not_to_have_count(0)
    wine = links.first.inner_text().splitlines()[0]
    links.first.click()
    expect(page).to_have_url(re.compile(r"#/book/[0-9a-f-]{36}"))
    expect(page.get_by_role("main")).to_contain_text(wine)
    page.go_back()
    expect(page.get_by_role("heading", name="You and the label")).to_be_attached()


def test_review_is_readable_by_keyboard(evening):
    page = evening
    page.get_by_role("heading", level=1).click()
    opened = None
    for _ in range(12):
        page.keyboard.press("Tab")
        opened = page.evaluate(FOCUSED)
        if opened:
            break
    assert opened
    page.keyboard.press("Enter")
    sheet = page.get_by_role("dialog", name=opened.splitlines()[0])
    expect(sheet).to_be_visible()
    expect(sheet.get_by_role("table")).to_be_visible()
    page.keyboard.press("Escape")
    expect(sheet).to_be_hidden()
    assert page.evaluate(FOCUSED) == opened
