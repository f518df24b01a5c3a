"""Serving orders against the defining property of Williams squares."""

from collections import Counter
from itertools import pairwise

import pytest

from tests.reference.rules.williams import serving_order, williams_orders
from webapp.rules.errors import RuleError


@pytest.mark.parametrize("glasses", range(2, 13))
def test_each_glass_follows_each_other_equally_often(glasses):
    orders = williams_orders(glasses)
    rounds = 1 if glasses % 2 == 0 else 2
    assert len(orders) == glasses * rounds
    assert all(sorted(order) == list(range(glasses)) for order in orders)
    follows = Counter(pair for order in orders for pair in pairwise(order))
    assert len(follows) == glasses * (glasses - 1)
    assert set(follows.values()) == {rounds}
    places = Counter(item for order in orders for item in enumerate(order))
    assert len(places) == glasses**2
    assert set(places.values()) == {rounds}


def test_orders_repeat_after_the_last():
    assert [serving_order(2, guest) for guest in range(3)] == [[0, 1], [1, 0], [0, 1]]
    assert serving_order(1, 5) == [0]


@pytest.mark.parametrize(("glasses", "code"), [(0, "too_few"), (41, "too_many")])
def test_williams_orders_reject_other_numbers(glasses, code):
    with pytest.raises(RuleError) as refusal:
        williams_orders(glasses)
    assert refusal.value.code == code
