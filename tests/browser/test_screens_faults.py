"""The screen checks themselves: each finds an injected fault, and only that fault."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import ExitStack

import pytest
from playwright.sync_api import Browser

from tests.browser.screen_checks import (
    Findings,
    found_by_axe,
    found_in_layout,
    found_in_words,
    only,
)
from tests.browser.seeded_phones import Phones
from tests.screenshots.screens import Screen

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
        """<style>@media (prefers-color-scheme: dark) { #dark { color: #222; } }</style>
        <p id="dark">8.5 %</p>""",
        {"axe by night"},
    ),
    "a low button": (
        '<button aria-label="1" style="all: unset; height: 30px; width: 60px">1</button>',
        {"too small", "too small on its side"},
    ),
    "a button low on its side": (
        """<style>@media (orientation: landscape) { #lower { height: 30px; } }</style>
        <button id="lower" style="all: unset; width: 60px; min-height: 0">1</button>
        <style>@media (orientation: portrait) { #lower { height: 60px !important; } }</style>
        <style>@media (orientation: landscape) { #lower { height: 30px !important; } }</style>""",
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
        """<style>@media (orientation: landscape) { #wider { width: 900px; } }</style>
        <div id="wider" style="height: 9px"></div>""",
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
    "a title that runs into the line beside it": (
        """<div style="display: flex; font: 16px/1.2 monospace">
        <b style="width: 60px; white-space: nowrap">1234567890</b><i>12345</i></div>""",
        {"meeting"},
    ),
    "words of the code": ("<p>Not a message</p>", {"words"}),
    "words of the code in a fold": (
        '<details><summary style="min-height: 60px">1</summary>Not a message</details>',
        {"words"},
    ),
    "a key without a message": ('<p role="img" aria-label="book.no_such_key">1</p>', {"words"}),
}


# What a line of each check shows of its planted fault.
SHOWN = {
    "axe by day": ("an image without a text", "mark.svg"),
    "axe by night": ("pale words at night", 'id="dark"'),
    "too small": ("a low button", "height: 30px; width: 60px"),
    "too small on its side": ("a button low on its side", 'id="lower"'),
    "sideways": ("a block wider than the phone", "width: 800px"),
    "sideways at 320 px": ("a block wider than the narrowest phone", "width: 330px"),
    "sideways on its side": ("a block wider than a phone on its side", 'id="wider"'),
    "sideways when spaced": ("a line that leaves no room", "inline-block"),
    "cut off when spaced": ("a box as high as its text", "height: 33px"),
    "meeting": ("a title that runs into the line beside it", "1234567890 | 12345"),
    "words": ("words of the code", "Not a message"),
}


@pytest.fixture(scope="module")
def phones(browser: Browser) -> Iterator[Phones]:
    """Open phones without the policy that blocks the styles of the faults."""
    with ExitStack() as stack:
        yield Phones(browser, stack, bypass_csp=True)


def findings(phones: Phones, *markups: str) -> Findings:
    """Return what the checks find on a page with these faults."""
    visitor = phones.visitor("empty", marked=True)
    visitor.go_to(SETTINGS, start=True)
    for markup in markups:
        visitor.page.evaluate(PLANT, markup)
    visitor.settle()
    return only(
        {
            **found_in_layout(visitor),
            **found_by_axe(visitor, is_leaf=False),
            **found_in_words(visitor),
        }
    )


def test_each_check_finds_its_planted_fault(phones: Phones) -> None:
    assert findings(phones) == {}
    assert set(SHOWN) == set().union(*(checks for _, checks in FAULTS.values()))
    found = findings(phones, *(FAULTS[fault][0] for fault, _ in SHOWN.values()))
    missed = [
        check
        for check, (_, shown) in SHOWN.items()
        if not any(shown in line for line in found.get(check, []))
    ]
    assert missed == [], found


@pytest.mark.extended
@pytest.mark.parametrize("fault", FAULTS)
def test_planted_fault_is_found(phones: Phones, fault: str) -> None:
    markup, checks = FAULTS[fault]
    found = findings(phones, markup)
    assert set(found) == checks, found
