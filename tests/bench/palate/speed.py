"""Processor time of learning against scikit-learn's BayesianRidge on the same design matrix."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import numpy as np
from sklearn.linear_model import BayesianRidge

from tests.bench.palate.simulated_tasters import Taster
from webapp.palate.data.features import expected

from .simulated import learned
from .tables import print_table

SIZES = (100, 1000, 10_000)
TRIES = 7


def run(styles: Sequence[Mapping[str, Any]], seed: int) -> None:
    """Print milliseconds and ratios.

    The design matrix has an intercept, linear and quadratic terms, and one column per style.
    """
    taster = Taster(styles, seed)
    rows: dict[str, list[float]] = {"learn": [], "learn with marks": [], "BayesianRidge": []}
    for n in SIZES:
        bottles = taster.taste(n)
        z = taster.space.to_z(bottles.X)
        design = np.hstack([expected(z, np.zeros_like(z)), np.eye(len(styles))[bottles.style]])
        rows["learn"].append(_ms(lambda b=bottles: learned(taster, b, None)))
        rows["learn with marks"].append(_ms(lambda b=bottles: learned(taster, b, b.marks)))
        rows["BayesianRidge"].append(
            _ms(lambda d=design, b=bottles: BayesianRidge().fit(d, b.liking))
        )
    ratio = [a / b for a, b in zip(rows["learn"], rows["BayesianRidge"], strict=True)]
    print_table("milliseconds of processor time, best of some", SIZES, {**rows, "ratio": ratio})


def _ms(work: Callable[[], object]) -> float:
    found = []
    for _ in range(TRIES):
        start = time.process_time()
        work()
        found.append(time.process_time() - start)
    return 1000 * min(found)
