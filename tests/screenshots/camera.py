"""A screenshot of one screen at one size in one theme."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from playwright.sync_api import Error, Page

from tests.screenshots.screens import Screen

Light = Literal["day", "night"]
TALLEST_PX = 2600
# The browser's font size setting, doubled.
LARGE_TEXT_FLAG = "--blink-settings=defaultFontSize=32,defaultFixedFontSize=26"
HEIGHT = "() => Math.ceil(document.documentElement.scrollHeight)"
SIDEWAYS = "() => document.documentElement.scrollWidth - innerWidth"


@dataclass(frozen=True)
class Size:
    name: str
    width: int
    height: int
    large_text: bool = False


SIZES = {
    size.name: size
    for size in (
        Size("360", 360, 780),
        Size("412", 412, 915),
        Size("820", 820, 1180),
        Size("1280", 1280, 800),
        Size("360-large-text", 360, 780, large_text=True),
    )
}


@dataclass(frozen=True)
class Shot:
    screen: str
    file: Path
    width: int
    height: int
    fault: str = ""


def take(page: Page, screen: Screen, size: Size, light: Light, file: Path) -> Shot:
    """Capture the screen down to TALLEST_PX; record the error of one that fails to open."""
    page.set_viewport_size({"width": size.width, "height": size.height})
    page.emulate_media(color_scheme="dark" if light == "night" else "light")
    fault = ""
    try:
        screen.open(page)
    except (Error, AssertionError) as error:
        fault = str(error).splitlines()[0]
    height = size.height
    if not screen.is_leaf:
        height = max(height, min(TALLEST_PX, page.evaluate(HEIGHT)))
        page.set_viewport_size({"width": size.width, "height": height})
    page.wait_for_timeout(80)
    beyond = page.evaluate(SIDEWAYS)
    if beyond > 0:
        fault = f"{fault} runs {beyond} px out of the page".strip()
    page.screenshot(path=file, animations="disabled")
    return Shot(screen.name, file, size.width, height, fault)
