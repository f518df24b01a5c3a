"""Parts of the app that come late, or only when they are asked for again."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import BrowserContext, Page, Route, expect

from tests.browser.engines import tap
from tests.browser.pour_page import name_line, open_pour, records
from tests.browser.waiting import LIMIT_S, wait_until

pytestmark = pytest.mark.browser
LIMIT_MS = LIMIT_S * 1000


def test_part_that_failed_to_load_comes_later(served: BrowserContext) -> None:
    page = served.new_page()
    failed: set[str] = set()

    def fail_once(route: Route) -> None:
        route.continue_() if route.request.url in failed else route.abort()
        failed.add(route.request.url)

    page.route(re.compile(r"words/en\.json|packed/(sync|pour-later)\.js"), fail_once)
    with page.expect_request("**/api/sync", timeout=LIMIT_MS):
        open_pour(page)
        tap(page.get_by_role("link", name="Taste step by step"))
        expect(page.get_by_role("heading", level=1, name="Bottle")).to_be_visible()
    assert len(failed) == 3


def test_note_is_saved_before_the_code_of_its_steps_comes(page: Page, tmp_path: Path) -> None:
    held: list[Route] = []
    label = tmp_path / "label.png"
    Image.new("RGB", (30, 40), "darkred").save(label)
    page.route(re.compile(r"packed/(sync|pour-later)\.js"), lambda route: held.append(route))
    open_pour(page)
    name_line(page).fill("Colle Rosso 2019")
    page.get_by_label("Photo of the label").set_input_files(label)
    tap(page.get_by_role("button", name="Save", exact=True))
    expect(page.get_by_text("Saved: Colle Rosso 2019")).to_be_visible()
    name_line(page).fill("Colle Bianco")
    tap(page.get_by_role("link", name="Taste step by step"))
    expect(page.get_by_text("Not everything here has loaded yet")).to_be_visible()
    for route in held:
        route.continue_()
    expect(page.get_by_role("heading", level=1, name="Bottle")).to_be_visible()
    wait_until(page, lambda: records(page, "photo"), "the photo of the label")
    red, white = records(page, "tasting")
    assert records(page, "photo")[0]["tasting"] == red["id"] != white["id"]
