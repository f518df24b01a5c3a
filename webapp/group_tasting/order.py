"""The order in which a guest tastes the glasses; the phones compute the same one.

listed: by position. drawn: shuffled once for the table. balanced: each guest has a row of a
Williams square (Williams 1949), in which each glass follows each other one equally often.
"""

from __future__ import annotations

from collections.abc import Callable

MAX_BALANCED = 12
_MASK = 0xFFFFFFFF


def glass_order(order: str | None, seed: int, glasses: int, guest: int) -> list[int]:
    """Return the glasses, counted from 0, as the guest with this number (1, 2, ...) tastes them.

    For more glasses than a square is made for, each guest has an order drawn by lot.
    """
    if order == "drawn":
        return _shuffled(glasses, seed)
    if order != "balanced" or glasses < 1:
        return [*range(glasses)]
    if glasses > MAX_BALANCED:
        return _shuffled(glasses, seed + guest)
    square = _williams_square(glasses)
    return square[(guest - 1) % len(square)]


def _williams_square(glasses: int) -> list[list[int]]:
    """Return n orders for an even number of glasses; for an odd one each also reversed."""
    steps = [(-1) ** (place + 1) * ((place + 1) // 2) for place in range(glasses)]
    rows = [[(step + shift) % glasses for step in steps] for shift in range(glasses)]
    return rows if glasses % 2 == 0 else [one for row in rows for one in (row, row[::-1])]


def _shuffled(count: int, seed: int) -> list[int]:
    """Shuffle by Fisher and Yates, from the end."""
    draw, items = seeded_random(seed), [*range(count)]
    for last in range(count - 1, 0, -1):
        other = int(draw() * (last + 1))
        items[last], items[other] = items[other], items[last]
    return items


def seeded_random(seed: int) -> Callable[[], float]:
    """Return a generator of numbers in [0, 1): mulberry32, as `static/lib/seeded_random.js`."""
    state = seed & _MASK

    def draw() -> float:
        nonlocal state
        state = (state + 0x6D2B79F5) & _MASK
        mixed = (state ^ state >> 15) * (state | 1) & _MASK
        mixed ^= (mixed + ((mixed ^ mixed >> 7) * (mixed | 61) & _MASK)) & _MASK
        return (mixed ^ mixed >> 14) / 2**32

    return draw
