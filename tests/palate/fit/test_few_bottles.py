"""The regression by bottles against the regression by coefficients."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from webapp.palate.fit import jar
from webapp.palate.fit.hyperparameters import fit
from webapp.palate.fit.observations import average_repeats
from webapp.palate.fit.regression import Sums, accumulate, moments

K, N = 12, 7


def sums_and_marks() -> tuple[Sums, jar.JarMarks]:
    """Return seven answers to six bottles of two styles and one without, with some marks."""
    rng = np.random.default_rng(4)
    z = rng.normal(size=(N, K))
    z[6] = z[5]
    member = np.array([1, 1, 1, 0, 1, 1, 1.0])[:, None]
    features = np.hstack([np.ones((N, 1)), z / np.sqrt(K), (z**2 - 1) / np.sqrt(2 * K), member])
    slot, bottle = np.array([0, 0, 1, -1, 1, 0, 0]), np.array([0, 1, 2, 3, 4, 5, 5])
    answers = average_repeats(features, rng.uniform(1, 9, N), rng.uniform(0.5, 1, N), slot, bottle)
    marks = np.where(rng.random((N, K)) < 0.3, rng.integers(-1, 2, (N, K)), np.nan)
    return accumulate(answers, 2, 3.0), jar.collect_marks(marks, z, np.full((N, K), 0.1))


def test_regression_by_bottles_matches_that_by_coefficients() -> None:
    sums, marks = sums_and_marks()
    assert sums.rows is not None
    few, many = fit(sums, marks, K), fit(replace(sums, rows=None), marks, K)
    assert few.log_evidence == pytest.approx(many.log_evidence, abs=1e-7)
    for found, expected in zip(moments(few), moments(many), strict=True):
        assert found == pytest.approx(expected, abs=1e-8)
