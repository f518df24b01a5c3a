"""Search for the browsers of the tests: Chromium and Firefox."""

from __future__ import annotations

import os
from pathlib import Path

from playwright.sync_api import sync_playwright

# Headless shell first, because it starts three times as fast as a desktop browser.
SYSTEM_BROWSERS = (
    "/usr/bin/chromium-headless-shell",
    "/usr/bin/chromium",
    "/usr/bin/chromium-browser",
    "/usr/bin/google-chrome",
)
SYSTEM_FIREFOXES = ("/usr/bin/firefox-esr", "/usr/bin/firefox")


def find_browser() -> str | None:
    """Return the path of an installed browser or None; `SECONDNOSE_BROWSER` takes precedence."""
    named = os.environ.get("SECONDNOSE_BROWSER")
    if named:
        return named if Path(named).exists() else None
    with sync_playwright() as playwright:
        own = playwright.chromium.executable_path
    candidates = (own, *SYSTEM_BROWSERS)
    return next((path for path in candidates if path and Path(path).exists()), None)


def find_firefox() -> str | None:
    """Return the path of an unmodified Firefox or None; `SECONDNOSE_FIREFOX` takes precedence."""
    named = os.environ.get("SECONDNOSE_FIREFOX")
    candidates = (named,) if named else SYSTEM_FIREFOXES
    return next((path for path in candidates if Path(path).exists()), None)
