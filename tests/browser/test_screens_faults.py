"""The screen checks themselves: each finds an injected fault, and only that fault."""

from __future__ import annotations

import pytest

from tests.browser.screen_checks import (
    found_by_axe,
    found_in_layout,
    found_in_words,
    only,
)
from tests.browser.seeded_phones import Phones, phones
from tests.screenshots.screens import Screen

__all__ = ["phones"]
pytestmark = pytest.mark.browser
SETTINGS = Screen("settings", "#/settings")
PLANT = "(markup) => document.querySelector('main').insertAdjacentHTML('beforeend', markup)"

# The injected markup, and the checks that must find it.
FAULTS = {
    "an image without a text": (
        '<img src="/icons/mark.svg" width="60" height="60">',
        {"axe by day"},
    ),
    "pale words at night": (
        """<style>@media (prefers-color-scheme: dark) { #plant { color: #222; } }</style>
        <p id="plant">8.5 %</p>""",
        {"axe by night"},
    ),
    "a low button": (
        '<button aria-label="1" style="all: unset; height: 30px; width: 60px">1</button>',
        {"too small", "too small on its side"},
    ),
    "a button low on its side": (
        """<style>@media (orientation: landscape) { #plant { height: 30px; } }</style>
        <button id="plant" style="all: unset; width: 60px; min-height: 0">1</button>
        <style>@media (orientation: portrait) { #plant { height: 60px !important; } }</style>
        <style>@media (orientation: landscape) { #plant { height: 30px !important; } }</style>""",
        {"too small on its side"},
    ),
    "a block wider than the phone": (
        '<div style="width: 800px; height: 9px"></div>',
        {"sideways", "sideways when spaced", "sideways at 320 px", "sideways on its side"},
    ),
    "a block wider than the narrowest phone": (
        '<div style="width: 330px; height: 9px"></div>',
        {"sideways at 320 px"},
    ),
    "a block wider than a phone on its side": (
        """<style>@media (orientation: landscape) { #plant { width: 900px; } }</style>
        <div id="plant" style="height: 9px"></div>""",
        {"sideways on its side"},
    ),
    "a line that leaves no room": (
        f"""<div style="display: inline-block; white-space: nowrap; font: 16px monospace">
        {"1234567890" * 3}</div>""",
        {"sideways when spaced"},
    ),
    "a box as high as its text": (
        """<div style="overflow: hidden; font: 16px/1 monospace; height: 33px; width: 160px">
        1234567890 12345</div>""",
        {"cut off when spaced"},
    ),
    "words of the code": ("<p>Not a message</p>", {"words"}),
    "words of the code in a fold": (
        '<details><summary style="min-height: 60px">1</summary>Not a message</details>',
        {"words"},
    ),
    "a key without a message": ('<p role="img" aria-label="book.no_such_key">1</p>', {"words"}),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_planted_fault_is_found(phones: Phones, fault: str) -> None:
    markup, checks = FAULTS[fault]
    visitor = phones.visitor("empty", marked=True)
    visitor.go_to(SETTINGS, start=True)
    visitor.page.evaluate(PLANT, markup)
    visitor.settle()
    found = {
        **found_in_layout(visitor),
        **found_by_axe(visitor, is_leaf=False),
        **found_in_words(visitor),
    }
    assert set(only(found)) == checks, only(found)
