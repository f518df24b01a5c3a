"""Distances of tasters' likings, and their drawing in a plane (Torgerson 1952)."""

from collections.abc import Sequence
from typing import TypedDict

import numpy as np
import numpy.typing as npt

Matrix = npt.NDArray[np.float64]
MIN_COMMON = 3
ROUNDING = 1e-9


class Distances(TypedDict):
    """None with fewer than three common glasses; row of the closest other taster."""

    distances: list[list[float | None]]
    closest: list[int | None]


class Layout(TypedDict):
    """Points in a plane, and the share of the squared distances that it keeps."""

    points: list[list[float]]
    shown: float | None


def taste_distances(likings: Sequence[Sequence[float | None]]) -> Distances:
    """Return the standard deviation of the differences over common glasses, for each pair."""
    rated = np.array([[np.nan if v is None else v for v in row] for row in likings], dtype=float)
    size = len(rated)
    distances: list[list[float | None]] = [[None] * size for _ in range(size)]
    for row in range(size):
        for column in range(size):
            differences = rated[row] - rated[column]
            differences = differences[~np.isnan(differences)]
            if row == column:
                distances[row][column] = 0.0
            elif len(differences) >= MIN_COMMON:
                distances[row][column] = float(differences.std())
    return {"distances": distances, "closest": [_closest(r, i) for i, r in enumerate(distances)]}


def classical_scaling(distances: Sequence[Sequence[float]]) -> Layout:
    """Place points in a plane; the furthest one along an axis is on its positive side."""
    squares = np.array(distances, dtype=float) ** 2
    size = len(squares)
    if not size:
        return {"points": [], "shown": None}
    centring = np.eye(size) - 1 / size
    values, vectors = np.linalg.eigh(-centring @ squares @ centring / 2)
    kept = np.where(values > ROUNDING * values.max(), values, 0)[::-1]
    points = np.zeros((size, 2))
    if not kept.any():
        return {"points": points.tolist(), "shown": None}
    for axis in range(min(2, size)):
        column: Matrix = vectors[:, -1 - axis]
        furthest = column[np.flatnonzero(np.abs(column) >= np.abs(column).max() - ROUNDING)[0]]
        points[:, axis] = column * np.sign(furthest) * np.sqrt(kept[axis])
    return {"points": points.tolist(), "shown": float(kept[:2].sum() / kept.sum())}


def _closest(row: list[float | None], self: int) -> int | None:
    others = [(value, at) for at, value in enumerate(row) if at != self and value is not None]
    if not others:
        return None
    least = min(value for value, _ in others)
    return next(at for value, at in others if value <= least + ROUNDING)
