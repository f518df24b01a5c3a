"""Every screen, by day and by night, as axe-core reads it (WCAG 2.2 A and AA, and best practice).

Source of the rules: axe-core, "Rule descriptions" (deque.com), which names the success criterion
of each; `target-size` is switched on besides.
"""

from __future__ import annotations

from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from tests.browser.screens_held import Phones, every_screen, phones
from tests.shots.screens import Screen

__all__ = ["phones"]
pytestmark = pytest.mark.browser
ALL_RULES = {"rules": {"target-size": {"enabled": True}}}
COLOURS = {"runOnly": {"type": "rule", "values": ["color-contrast", "link-in-text-block"]}}


def findings(page: Page, options: dict[str, Any]) -> list[str]:
    answer = Axe().run(page, options=options).response
    return [
        f"{rule['id']}: {rule['help']}: {node['html'][:160]} {node['failureSummary'][:300]}"
        for rule in answer["violations"]
        for node in rule["nodes"]
    ]


@every_screen
def test_a_screen_has_no_findings_by_day_or_by_night(
    phones: Phones, book: str, screen: Screen
) -> None:
    page = phones.page(book)
    page.set_viewport_size({"width": 360, "height": 780})
    page.emulate_media(color_scheme="light")
    screen.open(page)
    if not screen.is_leaf:
        # What scrolls behind the foot of the page just now is not covered for good.
        page.set_viewport_size({"width": 360, "height": 5000})
    assert findings(page, ALL_RULES) == []
    page.emulate_media(color_scheme="dark")
    assert findings(page, COLOURS) == []


def test_a_fault_would_be_found(phones: Phones) -> None:
    page = phones.page("empty")
    page.goto("/#/settings")
    page.evaluate("""() => {
      const picture = document.createElement('img');
      picture.src = '/icons/mark.svg';
      document.querySelector('main').append(picture);
    }""")
    assert any("image-alt" in finding for finding in findings(page, ALL_RULES))
