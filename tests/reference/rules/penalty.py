"""Penalty analysis of just-about-right (JAR) ratings: loss of liking by too little or too much."""

from collections.abc import Sequence
from typing import TypedDict

from webapp.rules.errors import RuleError
from webapp.rules.numbers import number

FEWEST_A_SIDE = 5
SHARE_TO_ACT = 0.2


class Side(TypedDict):
    """Result for one side of just right; means are of liking.

    ``weighted`` is drop x share; ``act`` is whether the side is large enough to act upon.
    """

    count: int
    share: float
    mean: float | None
    drop: float | None
    weighted: float | None
    act: bool


class Penalties(TypedDict):
    """Both sides; ``drop`` is the mean liking of just right minus that of the side."""

    count: int
    mean_right: float | None
    low: Side
    high: Side


def penalties(marks: Sequence[object], liking: Sequence[object]) -> Penalties:
    """Compute the drop in liking on either side of just right (ASTM MNL63, from memory).

    ``marks`` are -1, 0, 1 or None, and ``liking`` the corresponding 1-9 or None; incomplete pairs
    are skipped. Raises RuleError: unequal_lengths, bad_mark.
    """
    if len(marks) != len(liking):
        raise RuleError("unequal_lengths", "marks")
    sides: dict[int, list[float]] = {-1: [], 0: [], 1: []}
    for mark, liked in zip(marks, liking, strict=True):
        side, value = number(mark, "marks"), number(liked, "liking")
        if side is not None and side not in (-1, 0, 1):
            raise RuleError("bad_mark", "marks")
        if side is not None and value is not None:
            sides[int(side)].append(value)
    count = sum(len(each) for each in sides.values())
    right = _mean(sides[0])
    return {
        "count": count,
        "mean_right": right,
        "low": _side(sides[-1], right, count),
        "high": _side(sides[1], right, count),
    }


def _side(liked: Sequence[float], right: float | None, count: int) -> Side:
    mean = _mean(liked)
    share = len(liked) / count if count else 0.0
    drop = None if mean is None or right is None else right - mean
    enough = len(liked) >= FEWEST_A_SIDE and share >= SHARE_TO_ACT
    return {
        "count": len(liked),
        "share": share,
        "mean": mean,
        "drop": drop,
        "weighted": None if drop is None else drop * share,
        "act": enough and drop is not None and drop > 0,
    }


def _mean(values: Sequence[float]) -> float | None:
    return sum(values) / len(values) if values else None
