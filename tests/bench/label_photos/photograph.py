"""Turns a flat label into a photo of a bottle: curved, tilted, lit, glossy, blurred and noisy."""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

import numpy as np
from PIL import Image, ImageFilter
from scipy.ndimage import map_coordinates

from tests.bench.label_photos.drawing import Area

# A decoded photo of a phone, upright: static/label_photo decodes no larger one.
WIDTH, HEIGHT = 1800, 2400
# What a person still reads: digits of this many pixels, and ink this many times stronger than the
# noise. The strokes of a digit have a period of h / 4.5; a blur of standard deviation s leaves
# exp(-2 pi^2 (4.5 s / h)^2) of their contrast, which is 5 %, the least that an eye sees, at
# s = 0.087 h.
LEGIBLE_DIGIT_PX, LEGIBLE_CONTRAST, LEGIBLE_BLUR = 16, 5.0, 0.087


@dataclass(frozen=True, slots=True)
class Conditions:
    """How a photo was taken. `blur_px` and `noise` are standard deviations."""

    bend: float
    lift: float
    tilt_degrees: float
    light: float
    gloss: float
    blur_px: float
    noise: float
    fill: float

    def is_legible(self, digit_px: float, contrast: float) -> bool:
        """Tell whether a person could read digits of this height with this contrast."""
        noise = max(self.noise, 1.0)
        return (
            digit_px >= LEGIBLE_DIGIT_PX
            and self.blur_px <= LEGIBLE_BLUR * digit_px
            and contrast / noise >= LEGIBLE_CONTRAST
        )


def conditions(seed: int) -> Conditions:
    """Return the conditions of a seed; most photos have a serious defect, some have two."""
    rng = Random(f"photo {seed}")
    kinds = ["none", "tilted", "glossy", "dim", "noisy", "blurred", "curved", "far"]
    bad = rng.sample(kinds, 1 if rng.random() < 0.75 else 2)
    return Conditions(
        bend=rng.uniform(0.9, 1.1) if "curved" in bad else rng.uniform(0.2, 0.8),
        lift=rng.uniform(-0.06, 0.06) if "curved" in bad else rng.uniform(-0.02, 0.02),
        tilt_degrees=rng.choice([-1, 1]) * rng.uniform(4, 9) if "tilted" in bad
        else rng.uniform(-2, 2),
        light=rng.uniform(0.25, 0.4) if "dim" in bad else rng.uniform(0.7, 1.0),
        gloss=rng.uniform(0.6, 1.0) if "glossy" in bad else rng.uniform(0, 0.2),
        blur_px=rng.uniform(1.8, 4.5) if "blurred" in bad else rng.uniform(0.6, 1.3),
        noise=rng.uniform(9, 16) if "noisy" in bad else rng.uniform(2, 5),
        fill=rng.uniform(0.35, 0.5) if "far" in bad else rng.uniform(0.55, 0.85),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo, and whether the alcohol in it is legible to a person."""

    picture: Image.Image
    legible: bool


def take(label: Image.Image, alcohol: Area, digit_px: float, how: Conditions, seed: int) -> Photo:
    """Photograph a label, drawn at the size it has in the photo, in shades of grey."""
    rng = np.random.default_rng(seed)
    flat = np.asarray(label.convert("L"), dtype=np.float32)
    rows, columns, outside = _source(flat.shape[1], flat.shape[0], how)
    warped = map_coordinates(flat, [rows, columns], order=1, mode="nearest")
    warped[outside] = rng.uniform(28, 65)
    centre = ((alcohol[0] + alcohol[2]) / 2, (alcohol[1] + alcohol[3]) / 2)
    lit, glare = _lit(warped, columns / flat.shape[1], how, rng)
    picture = Image.fromarray(lit.clip(0, 255).astype(np.uint8))
    blurred = picture.filter(ImageFilter.GaussianBlur(how.blur_px))
    noisy = np.asarray(blurred, dtype=np.float32)
    noisy = noisy + how.noise * rng.standard_normal(noisy.shape, dtype=np.float32)
    at = np.argmin((rows - centre[1]) ** 2 + (columns - centre[0]) ** 2)
    ink = flat[alcohol[1] : alcohol[3], alcohol[0] : alcohol[2]]
    contrast = float(ink.max() - ink.min()) * how.light * (1 - float(glare.flat[at]))
    return Photo(
        Image.fromarray(noisy.clip(0, 255).astype(np.uint8)), how.is_legible(digit_px, contrast)
    )


def _source(width: int, height: int, how: Conditions) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return for each pixel of the photo its row and column of the label, and what is outside."""
    y, x = np.mgrid[0:HEIGHT, 0:WIDTH].astype(np.float32)
    angle = np.deg2rad(how.tilt_degrees)
    dx, dy = x - WIDTH / 2, y - HEIGHT / 2
    across = dx * np.cos(angle) + dy * np.sin(angle)
    along = -dx * np.sin(angle) + dy * np.cos(angle)
    # The label covers an arc of 2 * bend radians of a cylinder, seen from afar.
    radius = width / (2 * how.bend)
    sine = np.clip(across / radius, -0.999, 0.999)
    theta = np.arcsin(sine)
    columns = width / 2 + theta * radius
    # Seen from above or below, a circle around the bottle is an arc.
    rows = height / 2 + along + how.lift * radius * 4 * (1 - np.cos(theta))
    outside = np.abs(across) > radius * np.sin(min(how.bend, 1.5))
    outside |= (rows < 0) | (rows >= height) | (columns < 0) | (columns >= width)
    return rows, columns, outside


def _lit(
    picture: np.ndarray, across: np.ndarray, how: Conditions, rng: np.random.Generator
) -> tuple[np.ndarray, np.ndarray]:
    """Return the picture in uneven light, and how much of each pixel a reflection covers."""
    side = rng.uniform(-0.35, 0.35)
    shade = how.light * (1 + side * (across - 0.5) * 2)
    middle, width = rng.uniform(0.15, 0.85), rng.uniform(0.03, 0.09)
    glare = how.gloss * np.exp(-(((across - middle) / width) ** 2))
    # A reflection covers some of the height only.
    y = np.linspace(0, 1, picture.shape[0], dtype=np.float32)[:, None]
    glare = glare * np.clip(1.4 - np.abs(y - rng.uniform(0.2, 0.6)) * 3, 0, 1)
    lit = picture * shade * (1 - glare) + 250 * glare
    return lit, glare
