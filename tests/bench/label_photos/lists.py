"""Invents printed lists of wines and photographs them."""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

from tests.bench.label_photos.drawing import PLAIN, font_of_height
from tests.bench.label_photos.wines import invent

WIDTH, HEIGHT = 1800, 2400
PX_PER_MM = WIDTH / 210
HEADINGS = {"fr": "Vins", "it": "Vini", "de": "Weine", "en": "Wines"}
GLASS_HEADINGS = {
    "fr": ("Verre", "Bouteille"), "it": ("Calice", "Bottiglia"), "de": ("Glas", "Flasche"),
    "en": ("Glass", "Bottle"),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Row:
    """A line of a list, as printed."""

    name: str
    vintage: int | None
    price: float
    glass: float | None
    alcohol: float | None


def invent_rows(seed: int) -> list[Row]:
    """Return the rows of a list; wines of one language."""
    rng = Random(f"list {seed}")
    by_glass, with_alcohol = rng.random() < 0.4, rng.random() < 0.3
    rows = []
    for at in range(rng.randint(6, 14)):
        wine = invent(10_000 + seed % 4 + 4 * (seed * 20 + at))
        price = rng.randint(18, 140) + rng.choice([0, 0, 0.5])
        glass = round(price / 5) + rng.choice([0, 0.5]) if by_glass else None
        alcohol = wine.alcohol if with_alcohol else None
        rows.append(Row(f"{wine.name}, {wine.producer}", wine.vintage, price, glass, alcohol))
    return rows


def _amount(value: float, form: str, comma: bool) -> str:
    text = f"{value:.2f}" if form != "plain" or value % 1 else f"{value:.0f}"
    text = text.replace(".", ",") if comma else text
    return {"plain": text, "cents": text, "after": f"{text} €", "before": f"£{text}"}[form]


def draw_list(rows: list[Row], seed: int) -> Image.Image:
    """Draw a list on a sheet of paper."""
    rng = Random(f"sheet {seed}")
    language = ("fr", "it", "de", "en")[seed % 4]
    picture = Image.new("RGB", (WIDTH, HEIGHT), rng.choice(["#fbfaf5", "#ffffff", "#f1e9d8"]))
    draw = ImageDraw.Draw(picture)
    font = font_of_height(rng.choice(PLAIN), rng.uniform(2.3, 3.0) * PX_PER_MM, "E")
    large = font_of_height("playfair-display", 6 * PX_PER_MM, "E")
    form = rng.choice(["plain", "cents", "after"]) if language != "en" else (
        rng.choice(["plain", "cents", "before"]))  # fmt: skip
    year_first, dots = rng.random() < 0.4, rng.random() < 0.3
    left, right = WIDTH * 0.09, WIDTH * 0.91
    y = HEIGHT * 0.08
    draw.text((left, y), HEADINGS[language], font=large, fill="#222")
    y += 130
    if rows[0].glass is not None:
        for text, x in zip(GLASS_HEADINGS[language], (right - 170, right), strict=True):
            draw.text((x, y), text, font=font, fill="#222", anchor="rs")
    step = min(150.0, (HEIGHT * 0.86 - y) / len(rows))
    for row in rows:
        y += step
        year = str(row.vintage or "")
        words = [year, row.name] if year_first else [row.name, year]
        if row.alcohol is not None:
            words.append(f"{row.alcohol:g} %".replace(".", "." if language == "en" else ","))
            words[-1] += " vol"
        text = "  ".join(word for word in words if word)
        prices = [row.price] if row.glass is None else [row.glass, row.price]
        amounts = [_amount(value, form, language != "en") for value in prices]
        space = right - left - 190 * len(amounts)
        fitting = font
        while draw.textlength(text, font=fitting) > space:
            fitting = fitting.font_variant(size=int(fitting.size) - 1)
        draw.text((left, y), text, font=fitting, fill="#222", anchor="ls")
        if dots:
            start = left + draw.textlength(text, font=fitting) + 20
            count = int((right - 190 * len(amounts) - start) / draw.textlength(".", font=font))
            draw.text((start, y), "." * max(0, count), font=font, fill="#222", anchor="ls")
        for amount, x in zip(amounts, (right - 170, right)[-len(amounts) :], strict=True):
            draw.text((x, y), amount, font=font, fill="#222", anchor="rs")
    return picture


def take_list(picture: Image.Image, seed: int) -> Image.Image:
    """Photograph a list: tilted, unevenly lit, blurred and noisy."""
    rng = Random(f"list photo {seed}")
    turned = picture.rotate(rng.uniform(-4, 4), Image.Resampling.BICUBIC, fillcolor="#5b4a3a")
    pixels = np.asarray(turned, dtype=np.float32)
    across = np.linspace(-1, 1, WIDTH, dtype=np.float32)[None, :, None]
    light = rng.choice([rng.uniform(0.35, 0.5), rng.uniform(0.7, 1), rng.uniform(0.7, 1)])
    lit = pixels * light * (1 + rng.uniform(-0.35, 0.35) * across)
    blurred = Image.fromarray(lit.clip(0, 255).astype(np.uint8)).filter(
        ImageFilter.GaussianBlur(rng.uniform(0.6, 1.8))
    )
    noise = np.random.default_rng(seed).normal(0, rng.uniform(2, 9), pixels.shape)
    return Image.fromarray((np.asarray(blurred) + noise).clip(0, 255).astype(np.uint8))
