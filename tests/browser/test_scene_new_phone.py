"""Scenario: a new phone syncs ten years of notes while in use, then works offline."""

from __future__ import annotations

import re
from typing import Any

import pytest
from playwright.sync_api import Page, Route, expect

from tests.browser.book_page import search
from tests.browser.engines import both_engines
from tests.browser.seed_server import fill, invented_book

pytestmark = [pytest.mark.browser, both_engines, pytest.mark.service_worker]

TASTINGS = 1000

STORED = """async () => {
  const { allOf } = await import('/store/queries.js');
  return (await allOf('tasting')).length;
}"""


@pytest.fixture
def ten_years(live_server: Any) -> list[dict[str, Any]]:
    """Fill the server with 1,000 tastings that no phone has synced."""
    records = invented_book(TASTINGS)
    fill(live_server.url, records)
    return records


def name_of_newest(records: list[dict[str, Any]]) -> str:
    names = {record["id"]: record["fields"].get("name") for record in records}
    tastings = [record for record in records if record["kind"] == "tasting"]
    newest = max(tastings, key=lambda record: record["fields"]["tasted_at"])
    return str(names[newest["fields"]["bottle"]])


def wait_until_complete(page: Page) -> None:
    page.goto("/#/settings")
    expect(page.get_by_text("1,000 notes")).to_be_visible()
    assert page.evaluate(STORED) == TASTINGS


def test_new_phone_pulls_everything_and_works_offline(phone, live_server, ten_years, tmp_path):
    newest = name_of_newest(ten_years)
    context = phone(tmp_path / "new")
    page = context.new_page()
    page.goto("/#/book")
    expect(page.get_by_role("main").get_by_text(newest, exact=True).first).to_be_visible()
    wait_until_complete(page)
    page.goto("/#/palate")
    expect(page.get_by_text(re.compile("^Learned from 120 wines"))).to_be_visible()
    page.evaluate("navigator.serviceWorker.ready.then(() => null)")
    context.close()
    live_server.kill()

    page = phone(tmp_path / "new").new_page()
    page.goto("/#/book")
    expect(page.get_by_role("main").get_by_text(newest, exact=True).first).to_be_visible()
    assert page.evaluate(STORED) == TASTINGS
    search(page, "bottle 7")
    expect(page.get_by_text(re.compile(r"[1-9]\d* found"))).to_be_visible()
    page.goto("/#/palate")
    expect(page.get_by_text(re.compile("^Learned from 120 wines"))).to_be_visible()
    page.get_by_role("region", name="What you like in a wine").get_by_role("button").first.click()
    expect(page.get_by_role("dialog").get_by_role("link").first).to_be_visible()


def test_interrupted_pull_resumes(phone, ten_years, tmp_path):
    context = phone(tmp_path / "cut")
    asked: list[Route] = []

    def only_the_first(route: Route) -> None:
        asked.append(route)
        if len(asked) == 1:
            route.continue_()
        else:
            route.abort()

    context.route("**/api/sync", only_the_first)
    page = context.new_page()
    page.goto("/#/settings")
    expect(page.get_by_text("Your backup can’t be reached right now")).to_be_visible()
    result = page.evaluate(STORED)
    assert 0 < result < TASTINGS
    context.unroute("**/api/sync")
    page.get_by_role("button", name="Back up now").click()
    wait_until_complete(page)
