"""A taster's steadiness on a hidden duplicate."""

from collections.abc import Mapping, Sequence
from itertools import combinations
from typing import TypedDict

import numpy as np

Values = Sequence[float | None]
STEADY = 0.5
UNSTEADY = 1
# As many as one field has with two other glasses; with one other glass it takes three fields.
MIN_COMPARED = 5


class Difference(TypedDict):
    """Between the duplicates, and the mean between two glasses of different wines."""

    difference: float
    typical: float | None


class Steadiness(TypedDict):
    """``reading`` is steady, between, unsteady, no_spread or too_few."""

    reading: str
    share: float | None
    fields: dict[str, Difference]


def steadiness(answers: Mapping[str, Values], pair: Sequence[int]) -> Steadiness:
    """Compare the difference between two glasses of one wine with that of different wines."""
    fields: dict[str, Difference] = {}
    count = 0
    for field, values in answers.items():
        one, other = (values[glass] for glass in pair)
        if one is not None and other is not None:
            others = _differences_to_others(values, pair)
            typical = float(np.mean(others)) if others else None
            fields[field] = {"difference": abs(one - other), "typical": typical}
            count += len(others)
    known = [(each["difference"], each["typical"]) for each in fields.values()]
    compared = [(difference, typical) for difference, typical in known if typical is not None]
    if count < MIN_COMPARED:
        return {"reading": "too_few", "share": None, "fields": fields}
    total = sum(typical for _, typical in compared)
    if total == 0:
        return {"reading": "no_spread", "share": None, "fields": fields}
    share = sum(difference for difference, _ in compared) / total
    reading = "steady" if share <= STEADY else "between" if share < UNSTEADY else "unsteady"
    return {"reading": reading, "share": share, "fields": fields}


def _differences_to_others(values: Values, pair: Sequence[int]) -> list[float]:
    rated = [(glass, value) for glass, value in enumerate(values) if value is not None]
    return [
        abs(first - second)
        for (one, first), (other, second) in combinations(rated, 2)
        if {one, other} != set(pair)
    ]
