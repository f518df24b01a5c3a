"""Contact sheets of the screenshots: one HTML page for all, one PNG for each group."""

from __future__ import annotations

from html import escape
from pathlib import Path

from playwright.sync_api import Browser

from tests.screenshots.camera import Shot

SHEET_PX = 1860
THUMB_PX = 300
STYLE = f"""
body {{ margin: 20px; font: 15px system-ui; background: #777; color: #fff; }}
.sheet {{ display: flex; flex-wrap: wrap; gap: 20px; align-items: start; }}
figure {{ margin: 0; width: {THUMB_PX}px; }}
figure.wide {{ width: {2 * THUMB_PX + 20}px; }}
img {{ width: 100%; display: block; }}
.fault {{ background: #900; padding: 2px 4px; }}
"""


def write_sheets(browser: Browser, folder: Path, groups: dict[str, list[Shot]]) -> Path:
    """Write `index.html` with every screenshot, and a PNG of each group next to it."""
    page = browser.new_page(viewport={"width": SHEET_PX, "height": 800})
    for title, shots in groups.items():
        file = folder / f"sheet-{title.replace(', ', '-').replace(' ', '-')}.html"
        file.write_text(_document(title, _section(title, shots)), encoding="utf-8")
        page.goto(file.as_uri())
        page.screenshot(path=file.with_suffix(".png"), full_page=True)
        file.unlink()
    page.close()
    index = folder / "index.html"
    sections = "".join(_section(title, shots) for title, shots in groups.items())
    index.write_text(_document("Contact sheets", sections), encoding="utf-8")
    return index


def _document(title: str, body: str) -> str:
    return (
        f'<!doctype html><html lang="en"><meta charset="utf-8"><title>{escape(title)}</title>'
        f"<style>{STYLE}</style><body>{body}</body></html>"
    )


def _section(title: str, shots: list[Shot]) -> str:
    figures = "".join(_figure(shot) for shot in shots)
    return f'<h2>{escape(title)}</h2><div class="sheet">{figures}</div>'


def _figure(shot: Shot) -> str:
    fault = f'<div class="fault">{escape(shot.fault)}</div>' if shot.fault else ""
    wide = ' class="wide"' if shot.width > 500 else ""
    return (
        f"<figure{wide}><figcaption>{escape(shot.screen)}</figcaption>{fault}"
        f'<a href="{shot.file.name}"><img src="{shot.file.name}" alt=""></a></figure>'
    )
