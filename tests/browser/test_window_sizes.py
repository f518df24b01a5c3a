"""The shell in low, enlarged and wide windows."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.browser.engines import tap
from tests.browser.seed_records import put
from tests.browser.seeded_phones import Phones, phones

__all__ = ["phones"]
pytestmark = pytest.mark.browser
LEFT = "() => document.querySelector('h1').getBoundingClientRect().left"
GUEST_BAR = """() => {
  const bar = document.createElement('div');
  bar.className = 'guest-bar';
  document.querySelector('#app').append(bar);
  const { position } = getComputedStyle(bar);
  bar.remove();
  return position;
}"""
NAME = "Trockenbeerenauslese vom Kleinen Steinriegel"


def open_at(page: Page, width: int, height: int, screen: str) -> None:
    page.set_viewport_size({"width": width, "height": height})
    page.goto(f"/#/{screen}")
    expect(page.get_by_role("heading", level=1, name=screen.capitalize())).to_be_visible()


def test_page_fits_each_size_of_window(phones: Phones) -> None:
    page = phones.page("demo")
    open_at(page, 320, 256, "pour")
    for bar in (page.locator("nav.main-nav"), page.locator(".at-thumb")):
        assert bar.evaluate("(one) => getComputedStyle(one).position") == "static"
    for width, height, position in (
        (360, 400, "static"),
        (700, 300, "static"),
        (360, 640, "sticky"),
    ):
        page.set_viewport_size({"width": width, "height": height})
        assert page.evaluate(GUEST_BAR) == position
    # As wide in characters as a phone with letters of twice the size.
    open_at(page, 180, 390, "pour")
    name, vintage = page.get_by_label("Name").first, page.get_by_label("Vintage").first
    assert name.evaluate("(one) => one.getBoundingClientRect().width") > 120
    expect(vintage).to_be_visible()
    steps = page.get_by_role("navigation", name="The seven steps")
    widths = steps.locator(".step-name").evaluate_all("(all) => all.map((one) => one.offsetWidth)")
    assert len(widths) == 7
    assert min(widths) > 20
    edges = set()
    for screen in ("pour", "shelf", "book"):
        open_at(page, 1440, 900, screen)
        edges.add(page.evaluate(LEFT))
    assert len(edges) == 1, edges
    page.goto("/#/shelf")
    tap(page.get_by_role("button", name="Add a bottle"))
    box = page.get_by_role("dialog").bounding_box()
    assert box is not None
    spine = page.locator("nav.main-nav").evaluate("(one) => one.getBoundingClientRect().right")
    assert box["x"] + box["width"] / 2 == pytest.approx((spine + 1440) / 2, abs=2)
    page.set_viewport_size({"width": 360, "height": 780})
    at = "2026-11-28T20:00:00+01:00"
    fields = {"tasted_at": at, "closed_at": at, "liking": 7}
    bottle = put(page, "bottle", {"name": NAME, "vintage": 2019})
    note = put(page, "tasting", {"bottle": bottle, **fields})
    page.goto(f"/#/book/{note}")
    title = page.get_by_role("heading", level=1, name=NAME)
    expect(title).to_be_visible()
    figure = page.locator(".page-head .ruled-figure").bounding_box()
    above = title.bounding_box()
    assert figure is not None
    assert above is not None
    assert figure["y"] >= above["y"] + above["height"]
