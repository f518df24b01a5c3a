"""Hybrid logical clock, as the client computes it."""

from __future__ import annotations

from webapp.sync.hlc import DEVICE, clock_ms, is_clock

LAST_COUNTER = 0xFFFF
LAST_MS = 9_999_999_999_999


class ClockError(ValueError):
    """Invalid argument; `code` is bad_clock, bad_device or bad_time."""

    def __init__(self, code: str) -> None:
        super().__init__(code)
        self.code = code


def is_device(value: object) -> bool:
    """Return whether `value` is a valid device id."""
    return isinstance(value, str) and DEVICE.fullmatch(value) is not None


def tick(last: str | None, now_ms: int, device: str) -> str:
    """Return the next clock of `device`, which is later than `last` and not before `now_ms`.

    `last` is the latest clock that the device has issued or received. Raises ClockError.
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
