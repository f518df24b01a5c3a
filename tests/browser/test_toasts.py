"""Toasts cover no control and leave with their screen; opposite buttons keep apart."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.any_page import placed_toast, toast
from tests.browser.engines import tap
from tests.browser.pour_page import open_pour, quick_note
from tests.browser.seed_records import put

pytestmark = pytest.mark.browser

# Names long enough that the buttons of a row do not fit beside its text.
NAME = "Domaine des Trois Chouettes et du Grand Hibou, Vieilles Vignes"
# Controls of the page that a finger cannot reach because of the toast.
COVERED = """() => {
  const toast = document.querySelector('.toast').getBoundingClientRect();
  return [...document.querySelectorAll('a, button, input, select, textarea, [role=slider]')]
    .filter((one) => one.checkVisibility({ visibilityProperty: true }) && !one.closest('.toast'))
    .filter((one) => {
      const box = one.getBoundingClientRect();
      const [left, right] = [Math.max(box.left, toast.left), Math.min(box.right, toast.right)];
      const [top, bottom] = [Math.max(box.top, toast.top), Math.min(box.bottom, toast.bottom)];
      if (right - left <= 1 || bottom - top <= 1) return false;
      return document.elementFromPoint((left + right) / 2, (top + bottom) / 2).closest('.toast');
    })
    .map((one) => one.outerHTML.slice(0, 120));
}"""
SHOW = "(await import('/components/layout/toast.js')).showToast"
SAY = f"async (text) => ({SHOW})(text)"
# The longest one that settings say after a tap.
LONG = (
    "Passphrase saved. All other devices are signed out and passkeys removed; "
    "their notes stay on them."
)
APART_PX = 8


def open_screen(page: Page, hash_: str) -> None:
    page.goto(f"/{hash_}")
    expect(page.get_by_role("heading", level=1)).to_be_visible()


def delete_a_note(page: Page) -> Locator:
    """Delete one of two notes, and return the toast."""
    open_screen(page, "#/book")
    for name in ("Quiet Hill", "Loud Hill"):
        bottle = put(page, "bottle", {"name": name})
        put(page, "tasting", {"bottle": bottle, "tasted_at": "2026-10-01T20:00:00+02:00"})
    tap(page.get_by_role("link", name="Quiet Hill"))
    tap(page.get_by_role("button", name="Delete this note"))
    expect(page.get_by_role("link", name="Quiet Hill")).to_have_count(0)
    return page.get_by_text("Quiet Hill deleted.")


def distance(one: Locator, other: Locator) -> float:
    """Return the free space between two boxes."""
    a, b = one.bounding_box(), other.bounding_box()
    assert a is not None
    assert b is not None

    def gap(start: str, size: str) -> float:
        return max(a[start], b[start]) - min(a[start] + a[size], b[start] + b[size])

    return max(gap("x", "width"), gap("y", "height"))


def test_toast_with_undo_leaves_with_its_screen(page: Page) -> None:
    said = delete_a_note(page)
    expect(said).to_be_visible()
    tap(page.get_by_role("link", name="Shelf", exact=True))
    expect(page.get_by_text("No bottles here yet.")).to_be_visible()
    # At once: it would also go after some seconds.
    assert said.count() == 0


def test_alarm_is_shown_on_the_next_screen(page: Page) -> None:
    open_screen(page, "#/book")
    alarm = "Take it out of the freezer now."
    page.evaluate(f"async (text) => ({SHOW})(text, null, {{ everywhere: true }})", alarm)
    tap(page.get_by_role("link", name="Shelf", exact=True))
    expect(page.get_by_text("No bottles here yet.")).to_be_visible()
    assert toast(page, alarm).count() == 1


PAGES = {
    "book": "Book",
    "settings": "Settings",
    "pour": "Pour",
    "shelf": "Shelf",
    "palate": "Palate",
    "table": "Table",
    "pour/serving": "Serving",
}


def test_toast_covers_no_control_of_any_page(page: Page) -> None:
    for name, title in PAGES.items():
        page.goto(f"/#/{name}")
        expect(page.get_by_role("heading", level=1)).to_have_text(title)
        page.evaluate(SAY, LONG)
        placed_toast(page, LONG)
        assert page.evaluate(COVERED) == [], name


def test_toast_leaves_the_title_where_it_was(page: Page) -> None:
    page.clock.install()
    open_screen(page, "#/settings")
    page.evaluate(SAY, LONG)
    placed_toast(page, LONG)
    first = page.get_by_role("heading", level=2).first
    before = first.bounding_box()
    page.clock.run_for(60_000)
    expect(toast(page, LONG)).to_have_count(0)
    assert first.bounding_box() == before


def test_toast_leaves_a_place_just_touched_free(page: Page) -> None:
    page.clock.install()
    open_screen(page, "#/settings")
    page.evaluate("() => scrollTo(0, 400)")
    # The touch stays just over, however long the next steps take.
    page.clock.pause_at(page.evaluate("() => Date.now() + 1_000"))
    page.mouse.click(300, 30)
    page.evaluate(SAY, LONG)
    box = placed_toast(page, LONG).bounding_box()
    assert box is not None
    assert box["y"] > 30


def test_saving_covers_no_control_of_pour(page: Page) -> None:
    thumb = open_pour(page)
    quick_note(thumb, "Colle Rosso 2016", liking=0.8, words="Cherries")
    placed_toast(page, "2016 is now the vintage")
    assert page.evaluate(COVERED) == []
    thumb.primary()
    placed_toast(page, "Saved: Colle Rosso 2016")
    assert page.evaluate(COVERED) == []
    thumb.press(page.get_by_role("link", name="Taste step by step"))
    expect(page.get_by_role("heading", level=1)).to_have_text("Bottle")


def test_focused_toast_remains_visible(page: Page) -> None:
    page.clock.install()
    open_screen(page, "#/book")
    page.evaluate(SAY, LONG)
    page.get_by_role("button", name="Close").focus()
    page.clock.run_for(60_000)
    expect(toast(page, LONG)).to_be_visible()
    page.get_by_role("link", name="Settings").focus()
    page.clock.run_for(60_000)
    expect(toast(page, LONG)).to_have_count(0)


def duplicates(page: Page) -> tuple[Locator, Locator]:
    for name in (NAME, NAME.replace("Hibou", "Hibuo")):
        put(page, "bottle", {"name": name, "vintage": 2019})
    page.goto("/#/book/twins")
    return (
        page.get_by_role("button", name="Keep separate"),
        page.get_by_role("button", name="Merge"),
    )


def shelf_row(page: Page) -> tuple[Locator, Locator]:
    bottle = put(page, "bottle", {"name": NAME, "label_abv": 13.5, "label_market": "EU"})
    seen: dict[str, Any] = {"bottle": bottle, "price": 12, "currency": "EUR"}
    put(page, "pick", {**seen, "shop": "Keller", "seen_at": "2026-10-01T12:00:00+02:00"})
    page.goto("/#/shelf")
    return (
        page.get_by_role("button", name="Skip: "),
        page.get_by_role("button", name="Bought: "),
    )


@pytest.mark.parametrize("pair", [duplicates, shelf_row])
@pytest.mark.parametrize("text_size", [pytest.param(1, marks=pytest.mark.extended), 2])
def test_buttons_of_opposite_effect_keep_apart(page: Page, pair: Any, text_size: int) -> None:
    page.set_viewport_size({"width": 320, "height": 640})
    open_screen(page, "#/book")
    one, other = pair(page)
    expect(one).to_be_visible()
    page.evaluate(f"() => {{ document.documentElement.style.fontSize = '{text_size * 100}%'; }}")
    assert distance(one, other) >= APART_PX
