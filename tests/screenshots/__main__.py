"""Take screenshots of every screen at every size, in the light and the dark theme."""

from __future__ import annotations

import argparse
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright

from tests.browser.browser_paths import find_browser
from tests.browser.conftest import CURE, FLAGS
from tests.screenshots.books import phone_with
from tests.screenshots.camera import LARGE_TEXT_FLAG, SIZES, Light, Shot, Size, take
from tests.screenshots.contact import write_sheets
from tests.screenshots.readme import write_pictures
from tests.screenshots.screens import EVERY_BOOK, Screen, screens
from tests.screenshots.states import states

FOLDER = Path(".shots")
LIGHTS: tuple[Light, ...] = ("day", "night")


@contextmanager
def started_browser(*flags: str) -> Iterator[Browser]:
    path = find_browser()
    if path is None:
        raise SystemExit(CURE)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=[*FLAGS, *flags])
        yield browser
        browser.close()


def wanted() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.screenshots", description=__doc__)
    parser.add_argument("--sizes", nargs="+", choices=SIZES, default=list(SIZES))
    parser.add_argument("--books", nargs="+", choices=EVERY_BOOK, default=list(EVERY_BOOK))
    parser.add_argument("--lights", nargs="+", choices=LIGHTS, default=list(LIGHTS))
    parser.add_argument("--screens", nargs="+", help="such as book shelf")
    parser.add_argument("--quick", action="store_true", help="the example book at 360, by day")
    parser.add_argument("--scale", type=float, default=1, help="picture points for one CSS px")
    parser.add_argument("--readme", action="store_true", help="only the README's four pictures")
    parser.add_argument("--folder", type=Path, default=FOLDER)
    asked = parser.parse_args()
    if asked.quick:
        asked.sizes, asked.books, asked.lights = ["360"], ["demo"], ["day"]
    return asked


def take_all(book: str, asked: argparse.Namespace) -> dict[str, list[Shot]]:
    """Take the screenshots of one data set, grouped by contact sheet."""
    groups: dict[str, list[Shot]] = {}
    for large_text in (False, True):
        sizes = [SIZES[name] for name in asked.sizes if SIZES[name].large_text == large_text]
        if not sizes:
            continue
        flags = [LARGE_TEXT_FLAG] if large_text else []
        with (
            started_browser(*flags) as browser,
            phone_with(browser, book, asked.scale) as context,
        ):
            for size in sizes:
                page = context.new_page()
                for light in asked.lights:
                    groups[f"{book}, {size.name}, {light}"] = row(page, book, size, light, asked)
                page.close()
    return groups


def row(page: Page, book: str, size: Size, light: Light, asked: argparse.Namespace) -> list[Shot]:
    """Take every selected screen at one size in one theme."""

    def file(screen: Screen) -> Path:
        title = f"{book} {size.name} {light} {screen.name}.png"
        return asked.folder / title.replace(",", "").replace(" ", "-")

    return [
        take(page, screen, size, light, file(screen))
        for screen in [*screens(), *states()]
        if book in screen.books and (not asked.screens or screen.main_screen in asked.screens)
    ]


def main() -> None:
    asked = wanted()
    start = time.monotonic()
    if asked.readme:
        with started_browser() as browser:
            for file in write_pictures(browser):
                print(f"{file}: {file.stat().st_size / 1000:.0f} kB")
        return
    asked.folder.mkdir(exist_ok=True)
    groups: dict[str, list[Shot]] = {}
    for book in asked.books:
        groups |= take_all(book, asked)
    with started_browser() as browser:
        index = write_sheets(browser, asked.folder.resolve(), groups)
    faults = [(group, shot) for group, shots in groups.items() for shot in shots if shot.fault]
    for group, shot in faults:
        print(f"{group}: {shot.screen}: {shot.fault}")
    count = sum(map(len, groups.values()))
    print(f"{count} pictures in {time.monotonic() - start:.0f} s, {len(faults)} faults: {index}")


if __name__ == "__main__":
    main()
