"""Hybrid logical clocks as text that sorts: `<13 digits of ms>-<4 hex of counter>-<device>`.

After Kulkarni, Demirbas, Madappa, Avva and Leone, "Logical Physical Clocks" (2014). Because the
text sorts as the clock does, SQL and the phone compare clocks without taking them apart.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

LAST_COUNTER = 0xFFFF
LAST_MS = 9_999_999_999_999
DEVICE = re.compile(r"[a-z0-9]{8,32}")
CLOCK = re.compile(r"[0-9]{13}-[0-9a-f]{4}-[a-z0-9]{8,32}")


class ClockError(ValueError):
    """`code` is bad_clock, bad_device or bad_time."""

    def __init__(self, code: str) -> None:
        super().__init__(code)
        self.code = code


def is_clock(value: object) -> bool:
    """True for the text of a clock."""
    return isinstance(value, str) and CLOCK.fullmatch(value) is not None


def are_clocks(values: Iterable[object]) -> bool:
    """True when all are texts of clocks; fields that were said together share one."""
    try:
        return all(map(is_clock, set(values)))
    except TypeError:
        return False


def is_device(value: object) -> bool:
    """True for the id of a device."""
    return isinstance(value, str) and DEVICE.fullmatch(value) is not None


def clock_ms(clock: str) -> int:
    """The milliseconds since 1970 that a clock carries."""
    return int(clock[:13])


def clock_device(clock: str) -> str:
    """The device that gave the clock out."""
    return clock[19:]


def tick(last: str | None, now_ms: int, device: str) -> str:
    """The next clock of `device`: later than `last` (the latest it has given out or seen) and not
    before now.

    Raises ClockError.
    """
    if not is_device(device):
        raise ClockError("bad_device")
    if isinstance(now_ms, bool) or not isinstance(now_ms, int):
        raise ClockError("bad_time")
    if last is not None and not is_clock(last):
        raise ClockError("bad_clock")
    ms, counter = _after(last, max(now_ms, 0))
    if ms > LAST_MS:
        raise ClockError("bad_time")
    return f"{ms:013d}-{counter:04x}-{device}"


def _after(last: str | None, now_ms: int) -> tuple[int, int]:
    if last is None or clock_ms(last) < now_ms:
        return now_ms, 0
    counter = int(last[14:18], 16)
    if counter == LAST_COUNTER:
        return clock_ms(last) + 1, 0
    return clock_ms(last), counter + 1
