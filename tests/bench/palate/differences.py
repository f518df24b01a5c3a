"""How the learner differs from each method, paired by split, with standard errors over people."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence

import numpy as np

from .baselines import METHODS
from .measures import Tally
from .tables import print_table

OWN = "second nose"
BEST = "best of each table"
# Measures with their titles, and the sign that makes less better.
MEASURES = (("squared", "squared", 1), ("log_loss", "log-loss", 1), ("share_right", "rank", -1))
Table = Mapping[str, Sequence[Tally]]


def print_differences(title: str, tables: Sequence[Table]) -> None:
    """Print the mean differences over all tables, for each method and for the best of each table.

    The best is chosen afterwards, for each measure. Splits without a pair of products that the
    person liked differently are left out of the ranking.
    """
    rows: dict[str, list[float]] = defaultdict(list)
    for measure, _, sign in MEASURES:
        for name in METHODS:
            rows[name] += _difference(measure, [(table, name) for table in tables])
        best = [min(METHODS, key=lambda name: sign * _mean(t[name], measure)) for t in tables]
        rows[BEST] += _difference(measure, [*zip(tables, best, strict=True)])
    columns = [label for _, name, _ in MEASURES for label in (name, "error")]
    print_table(f"{title}: difference from each method, standard error over people", columns, rows)


def _mean(tallies: Sequence[Tally], measure: str) -> float:
    return float(np.nanmean([getattr(tally, measure) for tally in tallies]))


def _difference(measure: str, chosen: Sequence[tuple[Table, str]]) -> list[float]:
    """Return the mean difference over people and its standard error."""
    each: dict[str, list[float]] = defaultdict(list)
    for table, name in chosen:
        for own, other in zip(table[OWN], table[name], strict=True):
            each[own.person].append(getattr(own, measure) - getattr(other, measure))
    people = [np.nanmean(found) for found in each.values() if not np.isnan(found).all()]
    return [float(np.mean(people)), float(np.std(people) / np.sqrt(len(people)))]
