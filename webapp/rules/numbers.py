"""Parsing and rounding of numbers, the same on server and client."""

import math
from collections.abc import Sequence
from itertools import pairwise

from webapp.rules.errors import RuleError


def round_half_up(value: float, digits: int = 0) -> float:
    """Round to ``digits`` decimals, halves towards plus infinity (2.5 -> 3, -2.5 -> -2).

    Python's ``round`` rounds halves to even and JavaScript's does not, so neither is used.
    """
    scale = 10.0**digits
    scaled = value * scale
    below = math.floor(scaled)
    # Comparing the remainder rounds 0.49999999999999994 down; adding 0.5 would round it up.
    return (below + 1 if scaled - below >= 0.5 else below) / scale


def number(value: object, field: str) -> float | None:
    """Return a finite number, or None for None; reject booleans and text with RuleError."""
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not math.isfinite(value):
        raise RuleError("not_number", field)
    return value


def required(value: object, field: str) -> float:
    """Return a finite number; reject None as well."""
    found = number(value, field)
    if found is None:
        raise RuleError("missing", field)
    return found


def in_range(value: object, field: str, low: float, high: float) -> float | None:
    """Return a number between two bounds, both included, or None for None."""
    found = number(value, field)
    if found is not None and found < low:
        raise RuleError("too_low", field)
    if found is not None and found > high:
        raise RuleError("too_high", field)
    return found


def required_in_range(value: object, field: str, low: float, high: float) -> float:
    """Return a number between two bounds; reject None as well."""
    required(value, field)
    found = in_range(value, field, low, high)
    assert found is not None
    return found


def to_hundredths(value: object, field: str) -> int | None:
    """Convert a strength in percent (0-100) to whole hundredths, which compare exactly."""
    percent = in_range(value, field, 0, 100)
    return None if percent is None else int(round_half_up(percent * 100))


def interpolate(points: Sequence[Sequence[float]], x: float) -> float:
    """Interpolate linearly at ``x`` between sorted ``points``; constant beyond both ends."""
    for (x0, y0), (x1, y1) in pairwise(points):
        if x <= x0:
            return y0
        if x < x1:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    return points[-1][1]
