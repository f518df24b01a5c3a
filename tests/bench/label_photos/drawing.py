"""Draws a flat label of given millimetres."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from random import Random

from PIL import Image, ImageDraw, ImageFont

from tests.bench.label_photos import sizes
from tests.bench.label_photos.wines import Wine

ROOT = Path(__file__).parents[3]
FONTS = ROOT / ".tools/node_modules/@fontsource"
DISPLAY = ["cinzel", "playfair-display", "great-vibes", "cormorant-garamond", "oswald", "lato"]
DISPLAY += ["libre-baskerville", "bodoni-moda", "josefin-sans", "eb-garamond"]
PLAIN = ["lato", "montserrat", "roboto-condensed", "eb-garamond", "libre-baskerville"]
PLAIN += ["josefin-sans", "oswald", "cormorant-garamond", "playfair-display"]
# Paper and ink.
COLOURS = [("#f6f1e4", "#1d1a16"), ("#ffffff", "#3a0d12"), ("#efe7d2", "#26331f")]
COLOURS += [("#fbfaf6", "#111a33"), ("#1a1a1c", "#d9c27a"), ("#3a0f1b", "#f3ead6")]
COLOURS += [("#e9e4dc", "#5a4632")]

Area = tuple[int, int, int, int]


@dataclass(frozen=True, slots=True)
class Label:
    """A drawn label; `digit_px` is the height of the digits of the alcohol in the drawing."""

    picture: Image.Image
    alcohol: Area
    digit_mm: float


@lru_cache(maxsize=400)
def _font(family: str, size: int) -> ImageFont.FreeTypeFont:
    file = FONTS / family / "files" / f"{family}-latin-400-normal.woff2"
    return ImageFont.truetype(str(file), size)


def font_of_height(family: str, height_px: float, sample: str) -> ImageFont.FreeTypeFont:
    """Return the font in which the sample is this high."""
    box = _font(family, 200).getbbox(sample)
    return _font(family, max(6, round(200 * height_px / (box[3] - box[1]))))


def draw_label(wine: Wine, seed: int, px_per_mm: float) -> Label:
    """Draw the label of a wine, about 85 by 105 mm, in typefaces and colours of the seed."""
    rng = Random(f"drawing {seed}")
    width, height = round(rng.uniform(75, 95) * px_per_mm), round(rng.uniform(90, 115) * px_per_mm)
    paper, ink = rng.choice(COLOURS)
    picture = Image.new("RGB", (width, height), paper)
    draw = ImageDraw.Draw(picture)
    if rng.random() < 0.5:
        draw.rectangle((8, 8, width - 9, height - 9), outline=ink, width=max(1, int(px_per_mm / 3)))
    display, plain = rng.choice(DISPLAY), rng.choice(PLAIN)
    market = "US" if wine.country == "US" else "EU"
    digit_mm = sizes.alcohol_digit_mm(market, wine.volume_ml) * rng.choice([1, 1, 1.15])
    small_mm = max(sizes.X_HEIGHT_MM, sizes.US_MINIMUM_MM if market == "US" else 0)
    texts = wine.texts
    lines = [
        (texts["producer"], display, rng.uniform(3, 5), "E"),
        (texts["name"], display, rng.uniform(4.5, 7), "E"),
        (texts["quality"], plain, rng.uniform(2.2, 3.2), "E"),
        (texts["vintage"], display if display != "great-vibes" else plain, rng.uniform(4, 7), "0"),
        (texts["sweet"], plain, rng.uniform(2.2, 3.5), "E"),
        (texts["small"], plain, small_mm * 1.05, "x"),
        (texts["origin"], plain, small_mm * 1.05, "x"),
    ]
    lines = [line for line in lines if line[0]]
    upper = rng.random() < 0.35 and display != "great-vibes"
    top = height * 0.06
    gap = max(0.5 * px_per_mm, (height * 0.78 - sum(mm * 1.6 for _, _, mm, _ in lines) * px_per_mm)
              / len(lines))  # fmt: skip
    for at, (text, family, mm, sample) in enumerate(lines):
        message = text.upper() if upper and at < 2 else text
        font = font_of_height(family, mm * px_per_mm, sample)
        wide = draw.textlength(message, font=font)
        if wide > width * 0.88:
            font = _font(family, max(6, int(font.size * width * 0.88 / wide)))
            wide = draw.textlength(message, font=font)
        draw.text(((width - wide) / 2, top), message, font=font, fill=ink, anchor="lt")
        box = draw.textbbox(((width - wide) / 2, top), message, font=font, anchor="lt")
        top = box[3] + gap
    return Label(picture, _foot(draw, wine, rng, (plain, ink, px_per_mm, digit_mm)), digit_mm)


def _foot(
    draw: ImageDraw.ImageDraw, wine: Wine, rng: Random, how: tuple[str, str, float, float]
) -> Area:
    """Draw alcohol and contents at the foot; return where the alcohol stands."""
    family, ink, px_per_mm, digit_mm = how
    width, height = draw.im.size
    market = "US" if wine.country == "US" else "EU"
    alcohol = font_of_height(family, digit_mm * px_per_mm, "0")
    volume = font_of_height(family, sizes.volume_digit_mm(market, wine.volume_ml) * px_per_mm, "0")
    margin, base = width * 0.07, height * rng.uniform(0.88, 0.9)
    sides = [(wine.texts["alcohol"], alcohol), (wine.texts["volume"], volume)]
    if rng.random() < 0.5:
        sides.reverse()
    left, right = sides
    draw.text((margin, base), left[0], font=left[1], fill=ink, anchor="ls")
    draw.text((width - margin, base), right[0], font=right[1], fill=ink, anchor="rs")
    text, font = sides[0] if sides[0][0] == wine.texts["alcohol"] else sides[1]
    at = (margin, base, "ls") if (text, font) == left else (width - margin, base, "rs")
    box = draw.textbbox(at[:2], text, font=font, anchor=at[2])
    return (int(box[0]), int(box[1]), int(box[2]), int(box[3]))
