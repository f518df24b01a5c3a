"""Which browsers the tests drive: the one named, Playwright's own, or the system's; and Firefox."""

from __future__ import annotations

import os
from pathlib import Path

from playwright.sync_api import sync_playwright

# Without the windows and pages of a desktop browser a phone starts in a third of the time.
SYSTEM_BROWSERS = (
    "/usr/bin/chromium-headless-shell",
    "/usr/bin/chromium",
    "/usr/bin/chromium-browser",
    "/usr/bin/google-chrome",
)
SYSTEM_FIREFOXES = ("/usr/bin/firefox-esr", "/usr/bin/firefox")


def find_browser() -> str | None:
    """The path of a browser that can be started, or None; `SECONDNOSE_BROWSER` wins."""
    named = os.environ.get("SECONDNOSE_BROWSER")
    if named:
        return named if Path(named).exists() else None
    with sync_playwright() as playwright:
        own = playwright.chromium.executable_path
    candidates = (own, *SYSTEM_BROWSERS)
    return next((path for path in candidates if path and Path(path).exists()), None)


def find_firefox() -> str | None:
    """The path of a Firefox as it comes, or None; `SECONDNOSE_FIREFOX` wins."""
    named = os.environ.get("SECONDNOSE_FIREFOX")
    candidates = (named,) if named else SYSTEM_FIREFOXES
    return next((path for path in candidates if Path(path).exists()), None)
