"""Rows that are sorted by groups: sums over the rows of each, and values of each for its rows."""

from __future__ import annotations

import numpy as np

from webapp.palate.data.attribute_space import Floats, Ints


class Groups:
    """The group of each row (n,), in ascending order, of G groups."""

    def __init__(self, number: Ints, groups: int) -> None:
        self.number = number
        self.rows = np.bincount(number, minlength=groups)
        self.present = self.rows > 0
        self.starts = (np.cumsum(self.rows) - self.rows)[self.present]

    def sum(self, values: Floats) -> Floats:
        """Sum over the rows (..., n) of each group (..., G); 0 for a group without rows."""
        total = np.zeros((*values.shape[:-1], len(self.rows)))
        if len(self.starts):
            total[..., self.present] = np.add.reduceat(values, self.starts, axis=-1)
        return total

    def repeat(self, values: Floats) -> Floats:
        """Repeat the values (..., G) for the rows (..., n)."""
        return np.repeat(values, self.rows, axis=-1)
