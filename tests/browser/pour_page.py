"""Helpers for tests of the Pour screen, which count every tap."""

from __future__ import annotations

import os
import re
import signal
from pathlib import Path
from typing import Any

from playwright.sync_api import Locator, Page, expect

from tests.browser.any_page import items, primary_action
from tests.browser.engines import tap

ROWS = """async (kind) => {
  await (await import('/domain/pour/autosave_queue.js')).whenIdle();
  return (await import('/store/queries.js')).allOf(kind);
}"""
STEPS = ["Bottle", "Look", "First nose", "Second nose", "Sips", "Overall", "Verdict"]


class Thumb:
    """User input on one page; `taps` counts the taps, without typing."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.taps = 0

    def press(self, target: str | Locator) -> None:
        place = self.page.locator(target) if isinstance(target, str) else target
        tap(place.first)
        self.taps += 1

    def control(self, field: str) -> Locator:
        return self.page.locator(f'[data-field="{field}"]')

    def type_into(self, field: str, text: str) -> None:
        """Tap a text input and fill it."""
        line = self.control(field).locator("input, textarea").first
        self.press(line)
        line.fill(text)

    def choose_style(self, letters: str) -> None:
        """Open the style search and select the first result, with two taps."""
        self.press(self.control("bottle.style").get_by_role("button").first)
        self.page.get_by_role("dialog").get_by_role("searchbox").fill(letters)
        self.press("dialog[open] ul button")

    def judge(self, scale: str, share: float) -> None:
        """Tap a slider at a fraction of its width."""
        line = self.control(f"tasting.{scale}").get_by_role("slider").first
        line.scroll_into_view_if_needed()
        box = line.bounding_box()
        assert box is not None
        tap(line, position={"x": box["width"] * share, "y": box["height"] / 2})
        self.taps += 1

    def choose(self, field: str, name: str, kind: str = "radio") -> None:
        role: Any = kind
        self.press(self.control(field).get_by_role(role, name=name, exact=True))

    def primary(self) -> None:
        """Tap the primary button; check that it is in the bottom third of the screen."""
        way_on = primary_action(self.page).first
        expect(way_on).to_be_visible()
        box, screen = way_on.bounding_box(), self.page.viewport_size
        assert box is not None
        assert screen is not None
        assert screen["height"] * 2 / 3 <= box["y"] <= screen["height"] - box["height"]
        self.press(way_on)

    def step(self, name: str) -> None:
        """Open a step by its link in the step navigation."""
        thread = self.page.get_by_role("navigation", name="The seven steps")
        self.press(thread.get_by_role("link", name=name))
        expect(self.page.get_by_role("heading", level=1)).to_have_text(name)


def name_line(page: Page) -> Locator:
    """Return the input for the name of the wine."""
    return page.get_by_role("textbox", name="Name", exact=True)


def covered_name(page: Page) -> Locator:
    """Return the line that stands for the name of a bottle whose label is hidden."""
    return page.get_by_role("paragraph").filter(has_text=re.compile("^Covered bottle"))


def likely_aromas(page: Page) -> Locator:
    return page.get_by_role("group", name="Most likely aromas")


def noted_words(page: Page) -> Locator:
    return items(page, "Your aromas")


def aroma_search(page: Page) -> Locator:
    return page.get_by_role("searchbox", name="Find an aroma")


def visit_row(page: Page) -> Locator:
    """Return the row that names place and visit, and opens their sheet."""
    return page.locator('[data-field="tasting.visit"]').get_by_role("button").first


def visit_wines(page: Page) -> Locator:
    """Return the wines on the page of a visit."""
    return items(page, "Wines of the tasting")


def open_pour(page: Page) -> Thumb:
    page.goto("/#/pour")
    expect(primary_action(page)).to_be_visible()
    return Thumb(page)


def quick_note(
    thumb: Thumb,
    name: str,
    style: str = "",
    abv: str = "",
    liking: float = 0,
    words: str = "",
) -> None:
    thumb.type_into("bottle.name", name)
    if style:
        thumb.choose_style(style)
    if abv:
        thumb.type_into("bottle.label_abv", abv)
    if liking:
        thumb.judge("liking", liking)
    if words:
        thumb.type_into("tasting.words", words)


def records(page: Page, kind: str) -> list[dict[str, Any]]:
    """Return id and non-null fields of all records of a kind on the phone, oldest first.

    Waits until the typed values are saved.
    """
    rows = page.evaluate(ROWS, kind)
    items = [{k: v for k, v in row["fields"].items() if v is not None} for row in rows]
    return [{"id": row["id"], **fields} for row, fields in zip(rows, items, strict=True)]


def written(page: Page) -> None:
    """Wait until all typed text is saved."""
    page.evaluate("async () => (await import('/domain/pour/autosave_queue.js')).whenIdle()")


def wait_for_offline_copy(page: Page) -> None:
    """Wait until the service worker is ready, so that the app opens offline."""
    page.evaluate("async () => { await navigator.serviceWorker.ready; }")


def kill_browser(profile: Path) -> None:
    """Kill the browser that uses this profile, like an empty battery."""
    for entry in Path("/proc").iterdir():
        if not entry.name.isdigit():
            continue
        try:
            command = (entry / "cmdline").read_bytes().decode(errors="replace")
        except OSError:
            continue
        if f"--user-data-dir={profile}" in command or f"--profile\0{profile}\0" in command:
            try:
                os.kill(int(entry.name), signal.SIGKILL)
            except ProcessLookupError:
                continue
