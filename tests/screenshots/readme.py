"""The four screenshots in the README."""

from __future__ import annotations

import io
from pathlib import Path

from PIL import Image
from playwright.sync_api import Browser

from tests.screenshots.books import phone_with
from tests.screenshots.screens import Screen, fullest_tasting

FOLDER = Path(__file__).parents[2] / ".ci" / "pictures"
LARGEST_BYTES = 80_000
PHONE = {"width": 360, "height": 780}


def write_pictures(browser: Browser) -> list[Path]:
    """Write Pour, Book, Shelf and Palate with example data, as WebP of less than 80 kB each."""
    tasting = fullest_tasting()["id"]
    shown = {
        "pour": Screen("sips", f"#/pour/{tasting}/sips"),
        "book": Screen("book", "#/book"),
        "shelf": Screen("shelf", "#/shelf"),
        "palate": Screen("palate", "#/palate"),
    }
    FOLDER.mkdir(parents=True, exist_ok=True)
    written = []
    with phone_with(browser, "demo", scale=2) as context:
        page = context.new_page()
        page.set_viewport_size({"width": PHONE["width"], "height": PHONE["height"]})
        for name, screen in shown.items():
            screen.open(page)
            page.wait_for_timeout(200)
            written.append(_compressed(page.screenshot(), FOLDER / f"{name}.webp"))
    return written


def _compressed(png: bytes, file: Path) -> Path:
    """Save with the highest quality that stays below LARGEST_BYTES."""
    picture = Image.open(io.BytesIO(png)).convert("RGB")
    for quality in range(90, 20, -5):
        picture.save(file, quality=quality, method=6)
        if file.stat().st_size < LARGEST_BYTES:
            return file
    raise SystemExit(f"{file} does not fit into {LARGEST_BYTES} bytes")
