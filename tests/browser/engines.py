"""The browser engines of the tests, and the features that each one lacks."""

from __future__ import annotations

import itertools
import shlex
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from weakref import WeakKeyDictionary

import pytest
from playwright.sync_api import BrowserContext, Locator, Page, Playwright

ROOT = Path(__file__).resolve().parents[2]
SMALL_SCREEN: dict[str, Any] = {
    "viewport": {"width": 360, "height": 780},
    "is_mobile": True,
    "has_touch": True,
    "locale": "en-GB",
}
PHONE: dict[str, Any] = {
    **SMALL_SCREEN,
    "device_scale_factor": 2,
    "timezone_id": "Europe/Rome",
}
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
COARSE = 1
FIREFOX_PREFERENCES: dict[str, str | float | bool] = {
    "dom.w3c_touch_events.enabled": 1,
    "ui.primaryPointerCapabilities": COARSE,
    "ui.allPointerCapabilities": COARSE,
    "ui.useOverlayScrollbars": 1,
    "browser.region.network.url": "",
    "messaging-system.rsexperimentloader.enabled": False,
    "services.settings.server": "data:,#remote-settings-dummy/v1",
}
BRIDGE = Path(__file__).with_name("bidi_bridge.py")


@dataclass(frozen=True)
class Engine:
    """How to start an engine; `lacks` names missing features with a fallback in the client."""

    name: str
    program: str
    lacks: frozenset[str] = frozenset()
    options: dict[str, Any] = field(default_factory=dict)

    def phone(self, playwright: Playwright, folder: Path, **options: Any) -> BrowserContext:
        """Open a phone of 360x780 with its profile in this folder."""
        settings = {"executable_path": self.program, **PHONE, **self.options, **options}
        return getattr(playwright, self.name).launch_persistent_context(folder, **settings)


def chromium(path: str) -> Engine:
    lacks = set() if sys.platform == "darwin" else {"barcode_detection"}
    return Engine("chromium", path, frozenset(lacks), {"args": FLAGS})


def firefox(path: str, folder: Path) -> Engine:
    """Return an unmodified Firefox; write the script that starts its bridge into `folder`."""
    script = folder / "firefox"
    command = shlex.join([sys.executable, str(BRIDGE), path])
    script.write_text(f'#!/bin/sh\nexec {command} "$@"\n', encoding="utf-8")
    script.chmod(0o755)
    lacks = {"background_sync", "barcode_detection", "install_prompt", "vibration"}
    options = {"channel": "moz-firefox", "firefox_user_prefs": FIREFOX_PREFERENCES}
    return Engine("firefox", str(script), frozenset(lacks), options)


FIREFOX = pytest.param("firefox", marks=pytest.mark.extended)
# A mark for a test or a file of tests. Firefox runs only in the extended tests.
both_engines = pytest.mark.parametrize("engine", ["chromium", FIREFOX], indirect=True)
# Like `both_engines`, but Firefox is in every run.
always_both_engines = pytest.mark.parametrize("engine", ["chromium", "firefox"], indirect=True)
in_firefox = pytest.mark.parametrize("engine", [FIREFOX], indirect=True)


def first_page(phone: BrowserContext) -> Page:
    """Return the page with which a browser of its own starts, or else a new one."""
    return phone.pages[0] if phone.pages else phone.new_page()


SIZE_IF_GUARDED = """it => {
  const { width, height } = it.getBoundingClientRect();
  return it.closest('.at-thumb, [data-once]') && { width, height };
}"""
# Of each page in turn: two quick taps at one place are a double tap (static/lib/second_tap.js).
_shares_of_width: WeakKeyDictionary[Page, Iterator[float]] = WeakKeyDictionary()


def tap(place: Locator, **options: Any) -> None:
    """Tap an element, never twice at one place; in Firefox click, which the bridge converts."""
    browser = place.page.context.browser
    assert browser is not None
    size = place.evaluate(SIZE_IF_GUARDED)
    if size:
        shares = _shares_of_width.setdefault(place.page, itertools.cycle((0.25, 0.75)))
        spot = {"x": size["width"] * next(shares), "y": size["height"] / 2}
        options = {"position": spot, **options}
    touch = place.tap if browser.browser_type.name == "chromium" else place.click
    touch(**options)
