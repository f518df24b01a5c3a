"""Hybrid logical clocks as text that sorts: `<13 digits of ms>-<4 hex of counter>-<device>`.

After Kulkarni, Demirbas, Madappa, Avva and Leone, "Logical Physical Clocks" (2014). Because the
text sorts as the clock does, SQL and the phone compare clocks without taking them apart.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

DEVICE = re.compile(r"[a-z0-9]{8,32}")
CLOCK = re.compile(r"[0-9]{13}-[0-9a-f]{4}-[a-z0-9]{8,32}")


def is_clock(value: object) -> bool:
    """True for the text of a clock."""
    return isinstance(value, str) and CLOCK.fullmatch(value) is not None


def are_clocks(values: Iterable[object]) -> bool:
    """True when all are texts of clocks; fields that were said together share one."""
    try:
        return all(map(is_clock, set(values)))
    except TypeError:
        return False


def clock_ms(clock: str) -> int:
    """The milliseconds since 1970 that a clock carries."""
    return int(clock[:13])


def clock_device(clock: str) -> str:
    """The device that gave the clock out."""
    return clock[19:]
