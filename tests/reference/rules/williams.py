"""Serving orders that are balanced for first-order carry-over (Williams 1949)."""

from webapp.rules.errors import RuleError

MAX_GLASSES = 40


def williams_orders(glasses: int) -> list[list[int]]:
    """Return n orders for an even number of glasses and 2 n, with reversals, for an odd one.

    Raises RuleError: too_few, too_many.
    """
    if glasses < 1:
        raise RuleError("too_few", "glasses")
    if glasses > MAX_GLASSES:
        raise RuleError("too_many", "glasses")
    steps = [(-1) ** (place + 1) * ((place + 1) // 2) for place in range(glasses)]
    orders = []
    for shift in range(glasses):
        order = [(step + shift) % glasses for step in steps]
        orders += [order] if glasses % 2 == 0 else [order, order[::-1]]
    return orders


def serving_order(glasses: int, guest: int) -> list[int]:
    """Return the order of the guest at this place, counted from 0; the orders repeat."""
    orders = williams_orders(glasses)
    return orders[guest % len(orders)]
