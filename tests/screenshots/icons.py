"""The app icon as the PNG files that home screens need.

Run `python -m tests.screenshots.icons` after each change of static/icons/mark.svg.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

ICONS = Path(__file__).parents[2] / "static" / "icons"
CHROMIUM = os.environ.get("CHROMIUM", "/usr/bin/chromium")
FLAGS = ["--no-sandbox", "--disable-gpu"]


@dataclass(frozen=True)
class Icon:
    """One file: its side, whether its background fills the square, and the scale of the figure."""

    file: str
    side_px: int
    full_leaf: bool
    figure: float


# A maskable icon may be cut to a circle of 80 % of its side (W3C manifest, "safe zone"), so the
# figure on it is smaller.
WANTED = (
    Icon("mark-180.png", 180, True, 1.0),
    Icon("mark-192.png", 192, False, 1.0),
    Icon("mark-512.png", 512, False, 1.0),
    Icon("mark-maskable-512.png", 512, True, 0.74),
)

DRESS = """([fullLeaf, figure]) => {
  document.body.style.margin = '0';
  const svg = document.querySelector('svg');
  svg.style.display = 'block';
  if (fullLeaf) svg.querySelector('#leaf').setAttribute('rx', '0');
  const inset = 256 * (1 - figure);
  svg.querySelector('#figure')
    .setAttribute('transform', `translate(${inset} ${inset}) scale(${figure})`);
}"""


def draw(page: Page, icon: Icon, mark: str) -> None:
    """Write one icon into the folder of the SVG."""
    page.set_viewport_size({"width": icon.side_px, "height": icon.side_px})
    page.set_content(mark)
    page.evaluate(DRESS, [icon.full_leaf, icon.figure])
    page.screenshot(path=ICONS / icon.file, omit_background=True)


def main() -> None:
    """Write all icons."""
    mark = (ICONS / "mark.svg").read_text(encoding="utf-8")
    with sync_playwright() as playwright:
        path = CHROMIUM if Path(CHROMIUM).exists() else None
        browser = playwright.chromium.launch(executable_path=path, args=FLAGS)
        page = browser.new_page()
        for icon in WANTED:
            draw(page, icon, mark)
        browser.close()


if __name__ == "__main__":
    main()
