"""Clocks at the ends of the range, and invalid clocks."""

from __future__ import annotations

from typing import Any

import pytest

from tests.reference.hlc import LAST_MS, ClockError, is_device, tick
from webapp.sync.hlc import are_clocks, clock_device, clock_ms, is_clock

DEVICE = "aaaaaaaa"
LAST = f"{LAST_MS}-ffff-{DEVICE}"


@pytest.mark.parametrize(
    ("last", "now_ms", "device", "code"),
    [
        (None, True, DEVICE, "bad_time"),
        (None, 1.5, DEVICE, "bad_time"),
        (None, "1", DEVICE, "bad_time"),
        (None, LAST_MS + 1, DEVICE, "bad_time"),
        (LAST, 0, DEVICE, "bad_time"),
        ("x", 0, DEVICE, "bad_clock"),
        (None, 0, "x", "bad_device"),
        (None, 0, 5, "bad_device"),
    ],
)
def test_tick_of_an_invalid_clock_is_rejected(
    last: Any, now_ms: Any, device: Any, code: str
) -> None:
    with pytest.raises(ClockError) as refused:
        tick(last, now_ms, device)
    assert (refused.value.code, str(refused.value)) == (code, code)


def test_last_millisecond_can_tick() -> None:
    assert LAST_MS == 9_999_999_999_999
    assert tick(None, LAST_MS, DEVICE) == f"{LAST_MS}-0000-{DEVICE}"
    assert tick(f"{LAST_MS}-fffe-bbbbbbbb", 0, DEVICE) == LAST


def test_clock_is_parsed_into_time_and_device() -> None:
    assert (clock_ms(LAST), clock_device(LAST)) == (LAST_MS, DEVICE)


def test_a_time_before_1970_ticks_from_there() -> None:
    assert tick(None, -5, DEVICE) == f"0000000000000-0000-{DEVICE}"


@pytest.mark.parametrize("value", [None, 5, ["aaaaaaaa"], "aaaaaaa", "a" * 33, "AAAAAAAA"])
def test_invalid_device_or_clock_is_reported(value: Any) -> None:
    assert not is_device(value)
    assert not is_clock(value)
    assert not are_clocks([LAST, value])


@pytest.mark.parametrize("device", ["a" * 8, "z9" * 16])
def test_a_device_has_8_to_32_letters_or_digits(device: str) -> None:
    assert is_device(device)
    assert is_clock(f"0000000000000-0000-{device}")
    assert are_clocks([LAST, LAST])
