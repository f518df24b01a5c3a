"""Times on a phone that has travelled: those of the place where the note was written."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta, timezone

import pytest
from playwright.sync_api import Browser, BrowserContext, expect

from tests.browser.blocked_sync import block_sync
from tests.browser.engines import PHONE
from tests.browser.live_server import LiveServer
from tests.browser.pour_page import open_pour, records, written
from tests.browser.seed_records import put
from tests.browser.waiting import LIMIT_S

pytestmark = pytest.mark.browser
ROME = timezone(timedelta(hours=1))


@pytest.fixture
def context(browser: Browser, server: LiveServer) -> Iterator[BrowserContext]:
    options = {**PHONE, "timezone_id": "Asia/Tokyo", "service_workers": "block"}
    with browser.new_context(base_url=server.url, **options) as opened:
        block_sync(opened)
        opened.set_default_timeout(LIMIT_S * 1000)
        yield opened


def test_times_stay_those_of_the_place_of_the_note(page):
    open_pour(page)
    begun = datetime.now(UTC).astimezone(ROME).replace(microsecond=0) - timedelta(hours=2)
    later = begun + timedelta(days=30)
    put(page, "tasting", {"words": "dated wrongly", "tasted_at": later.isoformat()})
    tasting = put(page, "tasting", {"words": "plum", "tasted_at": begun.isoformat()})
    unfinished = page.locator("section", has=page.get_by_role("heading", name="Unfinished notes"))
    expect(unfinished.get_by_role("listitem")).to_have_count(1)
    expect(unfinished.get_by_role("listitem")).to_contain_text(f"{begun.hour}:{begun:%M}")
    page.evaluate("(id) => { location.hash = `#/pour/${id}/bottle`; }", tasting)
    page.get_by_role("button", name="More about this glass").click()
    when = page.get_by_label("When")
    expect(when).to_have_value(f"{begun:%Y-%m-%dT%H:%M}")
    when.fill("")
    when.fill("2026-11-20T23:40")
    written(page)
    stored = {row["id"]: row["tasted_at"] for row in records(page, "tasting")}
    assert stored[tasting] == "2026-11-20T23:40:00+01:00"
