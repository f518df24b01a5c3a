"""Agreement between tasters or repeats: Cohen's kappa and intraclass correlations."""

from collections.abc import Sequence
from itertools import combinations
from typing import TypedDict

import numpy as np
import numpy.typing as npt

from webapp.rules.errors import RuleError
from webapp.rules.numbers import required

Table = npt.NDArray[np.float64]
POWERS = {"linear": 1, "quadratic": 2}
# Relative to the largest squared score; the precision of doubles is about 1e-16.
ROUNDING = 1e-12
# The usual limits of moderate and good agreement (Koo and Li 2016).
PARTLY = 0.5
AGREE = 0.75
# Points of the scale; two people who answer by chance are 10 / 3 apart on average.
FAR = 2


class Kappa(TypedDict):
    """``observed`` and ``expected`` agreement (shares), and kappa.

    Kappa is None if the expected agreement is 1.
    """

    weights: str
    observed: float
    expected: float
    kappa: float | None


class Correlations(TypedDict):
    """Mean squares between wines, within wines, between judges and of error.

    ICCs as defined by Shrout and Fleiss.
    """

    bms: float
    wms: float
    jms: float
    ems: float
    icc11: float | None
    icc21: float | None
    icc31: float | None
    icc1k: float | None
    icc2k: float | None
    icc3k: float | None


class ScaleReading(TypedDict):
    """``reading`` is agree, partly, differ, alike (wines), or None without any variation."""

    icc: float | None
    icc_consistency: float | None
    distance: float
    reading: str | None


def cohen_kappa(first: Sequence[object], second: Sequence[object], weights: str = "none") -> Kappa:
    """Compute the agreement beyond chance of two series (Cohen 1960, weighted 1968).

    ``weights``: none, linear or quadratic. The distance of two categories is the difference of
    their ranks among the values that occur. Raises RuleError: unequal_lengths, nothing_to_compare,
    unknown_weights.
    """
    if weights != "none" and weights not in POWERS:
        raise RuleError("unknown_weights", "weights")
    if len(first) != len(second):
        raise RuleError("unequal_lengths", "first")
    if not first:
        raise RuleError("nothing_to_compare", "first")
    pairs = [[required(value, "value") for value in series] for series in (first, second)]
    seen, codes = np.unique(np.array(pairs), return_inverse=True)
    rows, columns = codes.reshape(2, -1)
    counts = np.zeros((len(seen), len(seen)))
    np.add.at(counts, (rows, columns), 1)
    shares = counts / counts.sum()
    credit = _credit(len(seen), weights)
    observed = float((shares * credit).sum())
    expected = float((np.outer(shares.sum(axis=1), shares.sum(axis=0)) * credit).sum())
    kappa = None if expected == 1 else (observed - expected) / (1 - expected)
    return {"weights": weights, "observed": observed, "expected": expected, "kappa": kappa}


def intraclass(scores: Sequence[Sequence[object]]) -> Correlations:
    """Compute intraclass correlations of wines (rows) judged by the same judges (columns).

    Shrout and Fleiss, Psychological Bulletin 86:420-428, 1979. For one taster's hidden repeats use
    ICC(1,1). A correlation is None if its denominator is zero up to rounding, because it is not
    defined without variation, or negative, as that of ICC(2,k) is if wines differ less than by
    chance. Raises RuleError: unequal_lengths, too_few.
    """
    if len({len(row) for row in scores}) > 1:
        raise RuleError("unequal_lengths", "scores")
    if len(scores) < 2 or len(scores[0]) < 2:
        raise RuleError("too_few", "scores")
    table: Table = np.array([[required(v, "scores") for v in row] for row in scores])
    n, k = table.shape
    grand = table.mean()
    between = k * float(((table.mean(axis=1) - grand) ** 2).sum())
    judges = n * float(((table.mean(axis=0) - grand) ** 2).sum())
    within = float(((table - table.mean(axis=1, keepdims=True)) ** 2).sum())
    bms, wms = between / (n - 1), within / (n * (k - 1))
    jms, ems = judges / (k - 1), (within - judges) / ((n - 1) * (k - 1))
    # Sums of squares below this are rounding errors.
    nothing = ROUNDING * float((table**2).max())
    bms, wms, jms, ems = (0.0 if abs(x) <= nothing else x for x in (bms, wms, jms, ems))
    return {
        "bms": bms,
        "wms": wms,
        "jms": jms,
        "ems": ems,
        "icc11": _ratio(bms - wms, [bms, (k - 1) * wms], nothing),
        "icc21": _ratio(bms - ems, [bms, (k - 1) * ems, k * jms / n, -k * ems / n], nothing),
        "icc31": _ratio(bms - ems, [bms, (k - 1) * ems], nothing),
        "icc1k": _ratio(bms - wms, [bms], nothing),
        "icc2k": _ratio(bms - ems, [bms, jms / n, -ems / n], nothing),
        "icc3k": _ratio(bms - ems, [bms], nothing),
    }


def scale_reading(scores: Sequence[Sequence[float]]) -> ScaleReading:
    """Read the correlation together with the distance of the answers, on a scale from 0 to 10.

    The correlation compares the variance between the wines (rows) with all variance, so it is low
    as well where the wines hardly differ. Only answers that lie far apart on the scale itself show
    that people (columns) differ. ``distance`` is the mean difference of two people on one wine.
    """
    found = intraclass(scores)
    icc = found["icc21"]
    pairs = [pair for row in scores for pair in combinations(row, 2)]
    distance = float(np.mean([abs(one - other) for one, other in pairs]))
    reading = None if icc is None else _scale_reading(icc, distance, np.mean(scores, axis=1))
    return {
        "icc": icc,
        "icc_consistency": found["icc31"],
        "distance": distance,
        "reading": reading,
    }


def _scale_reading(icc: float, distance: float, means: Table) -> str:
    if icc >= PARTLY:
        return "agree" if icc >= AGREE else "partly"
    if distance > FAR:
        return "differ"
    return "partly" if np.ptp(means) > FAR else "alike"


def _credit(size: int, weights: str) -> Table:
    """Return the weights: 1 for equal categories, less with distance, 0 without weighting."""
    if weights == "none" or size == 1:
        return np.eye(size)
    steps = np.abs(np.subtract.outer(np.arange(size), np.arange(size)))
    credit: Table = 1 - (steps / (size - 1)) ** POWERS[weights]
    return credit


def _ratio(upper: float, lower: Sequence[float], nothing: float) -> float | None:
    """Divide by the sum of ``lower``; None if the sum is zero up to rounding, or negative."""
    total = sum(lower)
    return None if total <= nothing else upper / total
