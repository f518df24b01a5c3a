"""Numbers as both sides read them: one rounding, and one refusal of what is not a number."""

import math
from collections.abc import Sequence
from itertools import pairwise

from webapp.rules.errors import RuleError


def round_half_up(value: float, digits: int = 0) -> float:
    """Round to ``digits`` decimals, halves towards plus infinity (2.5 -> 3, -2.5 -> -2).

    Python's own ``round`` goes to the even neighbour and JavaScript's does not, so neither is used.
    """
    scale = 10.0**digits
    scaled = value * scale
    below = math.floor(scaled)
    # Comparing the remainder keeps 0.49999999999999994 down, where adding a half first would not.
    return (below + 1 if scaled - below >= 0.5 else below) / scale


def number(value: object, field: str) -> float | None:
    """A finite number, or None where nothing was said; booleans and text are refused."""
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not math.isfinite(value):
        raise RuleError("not_number", field)
    return value


def required(value: object, field: str) -> float:
    """A finite number that must be there."""
    found = number(value, field)
    if found is None:
        raise RuleError("missing", field)
    return found


def in_range(value: object, field: str, low: float, high: float) -> float | None:
    """A number between two bounds, both allowed, or None where nothing was said."""
    found = number(value, field)
    if found is not None and found < low:
        raise RuleError("too_low", field)
    if found is not None and found > high:
        raise RuleError("too_high", field)
    return found


def required_in_range(value: object, field: str, low: float, high: float) -> float:
    """A number between two bounds that must be there."""
    required(value, field)
    found = in_range(value, field, low, high)
    assert found is not None
    return found


def to_hundredths(value: object, field: str) -> int | None:
    """A strength in percent (0-100) as whole hundredths, so that bounds compare exactly."""
    percent = in_range(value, field, 0, 100)
    return None if percent is None else int(round_half_up(percent * 100))


def interpolate(points: Sequence[Sequence[float]], x: float) -> float:
    """The height at ``x`` of straight lines through rising ``points``, level beyond both ends."""
    for (x0, y0), (x1, y1) in pairwise(points):
        if x <= x0:
            return y0
        if x < x1:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    return points[-1][1]
