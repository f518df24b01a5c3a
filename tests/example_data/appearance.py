"""Appearance of a wine: hue, depth and rim by colour, style and age."""

from typing import Any

from tests.example_data.persona import stream
from tests.example_data.source_tables import age_years, spec, styles

AGE_AT_LAST_HUE = {"red": 16.0, "white": 14.0, "rose": 5.0, "amber": 12.0}
PALE_REDS = ("Nebbiolo", "Pinot noir", "Gamay", "Nerello mascalese", "Grenache", "Zinfandel")
DARK_REDS = ("Syrah", "Shiraz", "Malbec", "Cabernet Sauvignon", "Primitivo", "Carmenère")
DEPTHS = ("watery", "pale", "medium", "deep", "inky")


def look(bottle: dict[str, str], year: int, occasion: str) -> dict[str, Any]:
    rng, style = stream("look", occasion), styles()[bottle["style"]]
    ripeness = _ripeness(bottle, style["colour"], year)
    bubbly = style["kind"] in ("sparkling", "semi_sparkling")
    return {
        "look_hue": _hue(style["ageing_hues"], ripeness),
        "look_depth": DEPTHS[_depth(bottle, style, ripeness)],
        "look_rim": _rim(style["colour"], ripeness),
        "look_gradation": "marked" if ripeness > 0.7 else "slight" if ripeness > 0.3 else "even",
        "look_clarity": "hazy" if style["colour"] == "amber" and rng.random() < 0.7 else "clear",
        "look_bubbles": rng.choice(("gentle", "lively")) if bubbly else "none",
    }


def _ripeness(bottle: dict[str, str], colour: str, year: int) -> float:
    """Return the ageing of the colour, from 0 (young) to 1 (last hue)."""
    return min(1.0, age_years(bottle, year) / AGE_AT_LAST_HUE[colour])


def _hue(ends: list[str], ripeness: float) -> str:
    """Return the hue between the style's first and last by ripeness."""
    order = [hue["id"] for hue in spec("hues")["hues"]]
    first, last = order.index(ends[0]), order.index(ends[-1])
    return str(order[round(first + ripeness * (last - first))])


def _depth(bottle: dict[str, str], style: dict[str, Any], ripeness: float) -> int:
    if style["colour"] == "white":
        return 1 + (ripeness > 0.45) + (style["kind"] in ("sweet", "fortified"))
    if style["colour"] == "rose":
        return 1
    if bottle["grapes"].startswith(PALE_REDS):
        return 2 - (ripeness > 0.6)
    return 3 if not bottle["grapes"].startswith(DARK_REDS) else 4 - (ripeness > 0.3)


def _rim(colour: str, ripeness: float) -> str:
    if colour != "red":
        return "watery" if ripeness > 0.5 else "none"
    return "wide" if ripeness > 0.45 else "narrow"
