"""`python -m tests.shots`: pictures of every screen at every size, by day and by night."""

from __future__ import annotations

import argparse
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

from tests.browser.conftest import CURE, FLAGS
from tests.browser.find import find_browser
from tests.shots.books import phone_with
from tests.shots.camera import LARGE_TEXT, SIZES, Shot, take
from tests.shots.contact import write_sheets
from tests.shots.readme import write_pictures
from tests.shots.screens import EVERY_BOOK, screens

FOLDER = Path(".shots")
LIGHTS = ("day", "night")


@contextmanager
def started_browser() -> Iterator[Browser]:
    path = find_browser()
    if path is None:
        raise SystemExit(CURE)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=FLAGS)
        yield browser
        browser.close()


def wanted() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.shots", description=__doc__)
    parser.add_argument("--sizes", nargs="+", choices=SIZES, default=list(SIZES))
    parser.add_argument("--books", nargs="+", choices=EVERY_BOOK, default=list(EVERY_BOOK))
    parser.add_argument("--lights", nargs="+", choices=LIGHTS, default=list(LIGHTS))
    parser.add_argument("--rooms", nargs="+", help="such as book shelf")
    parser.add_argument("--quick", action="store_true", help="the example book at 360, by day")
    parser.add_argument("--scale", type=float, default=1, help="picture points for one CSS px")
    parser.add_argument("--readme", action="store_true", help="only the README's four pictures")
    parser.add_argument("--folder", type=Path, default=FOLDER)
    asked = parser.parse_args()
    if asked.quick:
        asked.sizes, asked.books, asked.lights = ["360"], ["demo"], ["day"]
    return asked


def take_all(browser: Browser, book: str, asked: argparse.Namespace) -> dict[str, list[Shot]]:
    """The pictures of one book, grouped as the sheets are."""
    chosen = [screen for screen in screens() if book in screen.books]
    if asked.rooms:
        chosen = [screen for screen in chosen if screen.room in asked.rooms]
    groups: dict[str, list[Shot]] = {}
    with phone_with(browser, book, asked.scale) as context:
        for name in asked.sizes:
            page = context.new_page()
            if SIZES[name].large_text:
                page.add_init_script(LARGE_TEXT)
            for light in asked.lights:
                group = f"{book}, {name}, {light}"
                stem = group.replace(", ", "-")
                groups[group] = [
                    take(page, screen, SIZES[name], light,
                         asked.folder / f"{stem}-{screen.name.replace(', ', '-').replace(' ', '-')}.png")
                    for screen in chosen
                ]
            page.close()
    return groups


def main() -> None:
    asked = wanted()
    start = time.monotonic()
    with started_browser() as browser:
        if asked.readme:
            for file in write_pictures(browser):
                print(f"{file}: {file.stat().st_size / 1000:.0f} kB")
            return
        asked.folder.mkdir(exist_ok=True)
        groups: dict[str, list[Shot]] = {}
        for book in asked.books:
            groups |= take_all(browser, book, asked)
        index = write_sheets(browser, asked.folder.resolve(), groups)
    faults = [(group, shot) for group, shots in groups.items() for shot in shots if shot.fault]
    for group, shot in faults:
        print(f"{group}: {shot.screen}: {shot.fault}")
    count = sum(map(len, groups.values()))
    print(f"{count} pictures in {time.monotonic() - start:.0f} s, {len(faults)} faults: {index}")


main()
