"""Colour of a wine on a screen and in a cuvette.

Screen colours go from sRGB (IEC 61966-2-1) over XYZ (D65, 2 degrees) to CIELAB (CIE 15), and are
compared by CIEDE2000 (Sharma, Wu and Dalal, Color Res. Appl. 30, 2005). A phone's photograph is
sRGB under an unknown light, so colours are relative to a white background in the same picture and
are never mixed with laboratory values. Absorbances follow OIV-MA-AS2-07B.
"""

import math
import re
from collections.abc import Sequence
from typing import TypedDict

from webapp import spec
from webapp.rules.errors import RuleError
from webapp.rules.numbers import required_in_range

Lab = list[float]

MATRIX = (
    (0.4124564, 0.3575761, 0.1804375),
    (0.2126729, 0.7151522, 0.0721750),
    (0.0193339, 0.1191920, 0.9503041),
)
WHITE = (0.95047, 1.0, 1.08883)
EPSILON = 216 / 24389
KAPPA = 24389 / 27
# Hues up to this many degrees apart are treated as opposite, to allow for rounding.
OPPOSITE = 180 + 1e-9
# A darker white background is in shadow or not white, and dividing by it distorts the colour.
DARKEST_WHITE = 0.08


class HueProposal(TypedDict):
    """A hue and the distance of its swatch (CIEDE2000; 1 is about a just visible difference)."""

    id: str
    difference: float


class Absorbance(TypedDict):
    """Intensity A420 + A520 + A620 and shade A420 / A520, at 1 cm."""

    intensity: float
    shade: float


def hex_to_lab(code: object) -> Lab:
    """Convert ``#RRGGBB`` to CIELAB. Raises RuleError: bad_colour."""
    if not isinstance(code, str) or re.fullmatch("#[0-9a-fA-F]{6}", code) is None:
        raise RuleError("bad_colour", "code")
    return srgb_to_lab([int(code[i : i + 2], 16) for i in (1, 3, 5)])


def srgb_to_lab(rgb: Sequence[object]) -> Lab:
    """Convert three sRGB values 0-255 to CIELAB."""
    return _lab(_linear(rgb))


def lab_on_white(wine_rgb: Sequence[object], white_rgb: Sequence[object]) -> Lab:
    """Return CIELAB of the wine relative to white in the same picture, both sRGB 0-255.

    Each linear channel is divided by that of the white background (von Kries in camera channels),
    which corrects for the colour and strength of the light to first order. Raises RuleError:
    white_too_dark.
    """
    white = _linear(white_rgb)
    if min(white) < DARKEST_WHITE:
        raise RuleError("white_too_dark", "white_rgb")
    # A value brighter than the background is a reflection of the lamp, not the wine.
    return _lab([min(1.0, w / g) for w, g in zip(_linear(wine_rgb), white, strict=True)])


def hue_proposals(lab: Sequence[object], colour: str) -> list[HueProposal]:
    """Return the hues of a colour (red, white, rose, amber), nearest first.

    Raises RuleError: unknown_colour.
    """
    hues = [hue for hue in spec.load("hues")["hues"] if hue["colour"] == colour]
    if not hues:
        raise RuleError("unknown_colour", "colour")
    swatches = spec.load("swatches")["swatches"]
    found: list[HueProposal] = [
        {"id": hue["id"], "difference": ciede2000(lab, swatches[hue["id"]]["lab"])} for hue in hues
    ]
    return sorted(found, key=lambda each: each["difference"])


def hue_angle_deg(lab: Sequence[object]) -> float:
    """Return the hue angle 0-360, which goes from blue-red to yellow as red wine ages."""
    _, a, b = _checked(lab)
    return math.degrees(math.atan2(b, a)) % 360


def ciede2000(lab1: Sequence[object], lab2: Sequence[object]) -> float:
    """Return the CIEDE2000 difference of two CIELAB colours, with all weights 1."""
    l1, a1, b1 = _checked(lab1)
    l2, a2, b2 = _checked(lab2)
    mean_chroma = (math.hypot(a1, b1) + math.hypot(a2, b2)) / 2
    g = 0.5 * (1 - math.sqrt(mean_chroma**7 / (mean_chroma**7 + 25**7)))
    c1, h1 = _polar(a1 * (1 + g), b1)
    c2, h2 = _polar(a2 * (1 + g), b2)
    turn = _turn(c1, c2, h1, h2)
    lightness = (l2 - l1) / _weight_l((l1 + l2) / 2)
    mean_c = (c1 + c2) / 2
    chroma = (c2 - c1) / (1 + 0.045 * mean_c)
    mean_h = _mean_hue(c1, c2, h1, h2)
    hue = 2 * math.sqrt(c1 * c2) * math.sin(math.radians(turn / 2))
    hue /= 1 + 0.015 * mean_c * _weight_t(mean_h)
    rotation = _rotation(mean_c, mean_h)
    return math.sqrt(max(0.0, lightness**2 + chroma**2 + hue**2 + rotation * chroma * hue))


def oiv_colour(a420: object, a520: object, a620: object, path_cm: object = 1) -> Absorbance:
    """Compute OIV-MA-AS2-07B from absorbances in a cell of ``path_cm``; not for white wine.

    The path of the cell is chosen so that measured absorbances are between 0.3 and 0.7.
    """
    path = required_in_range(path_cm, "path_cm", 0.01, 10)
    yellow = required_in_range(a420, "a420", 0, 100) / path
    red = required_in_range(a520, "a520", 1e-6, 100) / path
    blue = required_in_range(a620, "a620", 0, 100) / path
    return {"intensity": yellow + red + blue, "shade": yellow / red}


def _linear(rgb: Sequence[object]) -> list[float]:
    if len(rgb) != 3:
        raise RuleError("bad_colour", "rgb")
    shares = [required_in_range(value, "rgb", 0, 255) / 255 for value in rgb]
    return [s / 12.92 if s <= 0.04045 else ((s + 0.055) / 1.055) ** 2.4 for s in shares]


def _lab(linear: Sequence[float]) -> Lab:
    xyz = [sum(m * v for m, v in zip(row, linear, strict=True)) for row in MATRIX]
    x, y, z = (_root(value / white) for value, white in zip(xyz, WHITE, strict=True))
    return [116 * y - 16, 500 * (x - y), 200 * (y - z)]


def _root(t: float) -> float:
    return math.cbrt(t) if t > EPSILON else (KAPPA * t + 16) / 116


def _checked(lab: Sequence[object]) -> tuple[float, float, float]:
    if len(lab) != 3:
        raise RuleError("bad_colour", "lab")
    lightness, a, b = (required_in_range(value, "lab", -1000, 1000) for value in lab)
    return lightness, a, b


def _polar(a: float, b: float) -> tuple[float, float]:
    return math.hypot(a, b), math.degrees(math.atan2(b, a)) % 360


def _turn(c1: float, c2: float, h1: float, h2: float) -> float:
    """Return the signed difference of hue in degrees, along the shorter arc."""
    turn = h2 - h1
    if c1 * c2 == 0:
        return 0.0
    if turn > OPPOSITE:
        return turn - 360
    return turn + 360 if turn < -OPPOSITE else turn


def _mean_hue(c1: float, c2: float, h1: float, h2: float) -> float:
    if c1 * c2 == 0:
        return h1 + h2
    if abs(h1 - h2) <= OPPOSITE:
        return (h1 + h2) / 2
    return (h1 + h2 + 360) / 2 if h1 + h2 < 360 else (h1 + h2 - 360) / 2


def _weight_l(mean_l: float) -> float:
    square = (mean_l - 50) ** 2
    return 1 + 0.015 * square / math.sqrt(20 + square)


def _weight_t(mean_h: float) -> float:
    def cosine(degrees: float) -> float:
        return math.cos(math.radians(degrees))

    first = 1 - 0.17 * cosine(mean_h - 30) + 0.24 * cosine(2 * mean_h)
    return first + 0.32 * cosine(3 * mean_h + 6) - 0.20 * cosine(4 * mean_h - 63)


def _rotation(mean_c: float, mean_h: float) -> float:
    angle = 30 * math.exp(-(((mean_h - 275) / 25) ** 2))
    weight = 2 * math.sqrt(mean_c**7 / (mean_c**7 + 25**7))
    return -weight * math.sin(math.radians(2 * angle))
