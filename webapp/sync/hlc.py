"""Hybrid logical clocks as text that sorts: `<13 digits of ms>-<4 hex of counter>-<device>`.

After Kulkarni, Demirbas, Madappa, Avva and Leone, "Logical Physical Clocks" (2014). The text sorts
like the clock, so SQL and the phone compare clocks without parsing them.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

DEVICE = re.compile(r"[a-z0-9]{8,32}")
CLOCK = re.compile(r"[0-9]{13}-[0-9a-f]{4}-[a-z0-9]{8,32}")
MAX_CLOCK_AHEAD_MS = 5 * 60 * 1000


def is_clock(value: object) -> bool:
    """Tell whether a value is the text of a clock."""
    return isinstance(value, str) and CLOCK.fullmatch(value) is not None


def are_clocks(values: Iterable[object]) -> bool:
    """Tell whether all are clocks; duplicates, of fields saved together, are checked once."""
    try:
        return all(map(is_clock, set(values)))
    except TypeError:
        return False


def clock_ms(clock: str) -> int:
    """Return a clock's milliseconds since 1970."""
    return int(clock[:13])


def clock_device(clock: str) -> str:
    """Return the device that created a clock."""
    return clock[19:]


def is_too_far_ahead(clock: str, now_ms: int, latest_ms: int) -> bool:
    """Tell whether a clock is ahead of the server's time and of the owner's latest clock."""
    return clock_ms(clock) > latest_acceptable_ms(now_ms, latest_ms)


def latest_acceptable_ms(now_ms: int, latest_ms: int) -> int:
    """Return the latest time of a clock that is not too far ahead."""
    return max(now_ms, latest_ms) + MAX_CLOCK_AHEAD_MS
