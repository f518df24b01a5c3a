"""Long words in names and places do not push a page sideways, as German compounds would."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.browser.screen_checks import SIDEWAYS
from tests.browser.seed_records import put
from tests.browser.waiting import wait_for_idle

pytestmark = pytest.mark.browser
LONG = "Bundesweinprämierungssiegerweinbergslage"
ADDRESS = "https://shop.example/wines/white/riesling/quiet-ledge-2022"


def test_long_words_do_not_push_a_page_sideways(page: Page) -> None:
    page.set_viewport_size({"width": 320, "height": 640})
    page.goto("/#/book")
    bottle = put(page, "bottle", {"name": f"{LONG} Riesling", "producer": LONG, "region": LONG})
    visit = put(page, "visit", {"name": LONG, "place": LONG, "on": "2026-05-01"})
    fields = {"bottle": bottle, "visit": visit, "tasted_at": "2026-05-01T19:00:00+02:00"}
    note = put(page, "tasting", {**fields, "words": LONG, "place": LONG})
    pick = {"bottle": bottle, "state": "bought", "price": 9, "currency": "EUR", "shop": ADDRESS}
    put(page, "pick", {**pick, "seen_at": "2026-05-01T18:00:00+02:00"})
    for path in (f"book/{note}", f"book/bottle/{bottle}", f"pour/visit/{visit}", "book"):
        page.goto(f"/#/{path}")
        expect(page.get_by_text(LONG).first).to_be_visible()
        wait_for_idle(page)
        assert page.evaluate(SIDEWAYS) == [], path
