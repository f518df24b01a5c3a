"""Exact binomial tests of whether a taster can distinguish two wines.

ISO 4120, ISO 10399, ISO 5495. The minimum number of correct answers is computed from the binomial
distribution, not taken from a table.
"""

import math
from typing import TypedDict

from webapp.rules.errors import RuleError
from webapp.rules.numbers import required_in_range

CHANCE = {"triangle": 1 / 3, "duo_trio": 1 / 2, "paired": 1 / 2}
MOST_TRIALS = 100_000
TOLD_APART = 0.05
HINT = 0.2


class Discrimination(TypedDict):
    """``reading`` is told_apart, hint, not_shown or nothing_tried.

    ``needed`` is the number of correct answers for significance at 5 %.
    """

    p: float
    reading: str
    needed: int | None


def discrimination(test: str, correct: object, trials: object) -> Discrimination:
    """Evaluate a triangle, duo_trio or one-sided paired test. Raises RuleError: unknown_test."""
    if test not in CHANCE:
        raise RuleError("unknown_test", "test")
    p = p_value(correct, trials, CHANCE[test])
    reading = "told_apart" if p <= TOLD_APART else "hint" if p <= HINT else "not_shown"
    return {
        "p": p,
        "reading": reading if trials else "nothing_tried",
        "needed": min_correct(trials, CHANCE[test], TOLD_APART),
    }


def p_value(correct: object, trials: object, chance: object) -> float:
    """Return P(X >= correct) for guessing, with X ~ Binomial(trials, chance)."""
    n = _whole(trials, "trials", MOST_TRIALS)
    k = _whole(correct, "correct", n)
    p0 = required_in_range(chance, "chance", 0.000001, 0.999999)
    if k == 0:
        return 1.0
    # The largest terms are near the mean, so sum the tail that does not contain it.
    if k <= n * p0:
        return max(0.0, 1.0 - _tail(n - k + 1, n, 1 - p0, p0))
    return min(1.0, _tail(k, n, p0, 1 - p0))


def _tail(k: int, n: int, p: float, q: float) -> float:
    """Return P(X >= k) for X ~ Binomial(n, p) and k above the mean; ``q`` is 1 - p."""
    choose = math.lgamma(n + 1) - math.lgamma(k + 1) - math.lgamma(n - k + 1)
    first = choose + k * math.log(p) + (n - k) * math.log(q)
    share, total = 1.0, 0.0
    for i in range(k, n + 1):
        total += share
        share *= (n - i) / (i + 1) * p / q
    return math.exp(first + math.log(total))


def min_correct(trials: object, chance: object, alpha: object) -> int | None:
    """Return the minimum number of correct answers whose p-value is at most ``alpha``.

    None if there is no such number.
    """
    n = _whole(trials, "trials", MOST_TRIALS)
    level = required_in_range(alpha, "alpha", 0, 1)
    low, high = 0, n + 1
    while low < high:
        middle = (low + high) // 2
        if p_value(middle, n, chance) <= level:
            high = middle
        else:
            low = middle + 1
    return low if low <= n else None


def preference_p(chosen: object, trials: object) -> float:
    """Return the two-sided p-value of a preference of ``chosen`` out of ``trials`` (ISO 5495)."""
    n = _whole(trials, "trials", MOST_TRIALS)
    k = _whole(chosen, "chosen", n)
    return min(1.0, 2 * p_value(max(k, n - k), n, 0.5))


def _whole(value: object, field: str, most: int) -> int:
    found = required_in_range(value, field, 0, most)
    if found != int(found):
        raise RuleError("not_whole", field)
    return int(found)
