"""The median and the quartiles of values."""

from collections.abc import Sequence
from typing import TypedDict

import numpy as np


class Quartiles(TypedDict):
    """Number of values, lower quartile, median and upper quartile."""

    n: int
    low: float | None
    median: float | None
    high: float | None


def quartiles(values: Sequence[float]) -> Quartiles:
    """Interpolate linearly, as NumPy does by default."""
    if not len(values):
        return {"n": 0, "low": None, "median": None, "high": None}
    low, median, high = np.quantile(values, [0.25, 0.5, 0.75]).tolist()
    return {"n": len(values), "low": low, "median": median, "high": high}
