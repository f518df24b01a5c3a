"""Compares a person's judgement of warmth, alcohol and age with the label."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from webapp.palate.data.from_records import TastingRecord, count_wines, number_within
from webapp.palate.data.wine_styles import SCALE_HIGH, SCALE_LOW, WARMTH_PER_PERCENT, warmth_of

LISTED = 200
LEAST = 5
OLDEST_YEARS = 200.0
Difference = Callable[[TastingRecord], float]


def label_calibration(records: Sequence[TastingRecord]) -> dict[str, Any]:
    """Summarize guess minus label for warmth (scale units), alcohol (% vol) and age (years).

    Each summary has n, mean (positive: above the label), sd of one guess, sd_of_mean, level and
    tastings; warmth also has mean_abv, its mean in % vol. It is known from five wines, the others
    from five guesses.
    """
    found = {
        "warmth": _summary(records, warmth_difference, count_wines),
        "guess_abv": _summary(records, abv_difference),
        "guess_age_years": _summary(records, age_difference),
    }
    mean = found["warmth"]["mean"]
    found["warmth"]["mean_abv"] = None if mean is None else mean / WARMTH_PER_PERCENT
    return found


def warmth_difference(tasting: TastingRecord) -> float:
    """Return judged warmth minus the warmth expected at the printed alcohol."""
    judged = number_within(tasting.fields.get("warmth"), SCALE_LOW, SCALE_HIGH)
    return judged - float(warmth_of(tasting.label_abv))


def abv_difference(tasting: TastingRecord) -> float:
    """Return guessed minus printed alcohol, % vol."""
    return number_within(tasting.fields.get("guess_abv"), 0.0, 25.0) - tasting.label_abv


def age_difference(tasting: TastingRecord) -> float:
    """Return guessed age minus true age (year of tasting minus vintage), years."""
    vintage = number_within(tasting.bottle.get("vintage"), 1800, 2100)
    guess = number_within(tasting.fields.get("guess_age_years"), 0.0, OLDEST_YEARS)
    return guess - (tasting.at.year - vintage) if tasting.at else float("nan")


def _summary(
    records: Sequence[TastingRecord],
    difference: Difference,
    count: Callable[[list[TastingRecord]], int] = len,
) -> dict[str, Any]:
    pairs = [(t, gap) for t in records if not np.isnan(gap := difference(t))]
    gaps = np.array([gap for _, gap in pairs])
    n, counted = len(pairs), count([t for t, _ in pairs])
    sd = float(gaps.std(ddof=1)) if n > 1 else None
    return {
        "n": n,
        "mean": float(gaps.mean()) if n else None,
        "sd": sd,
        "sd_of_mean": None if sd is None else sd / float(np.sqrt(n)),
        "level": "none" if not n else "few" if counted < LEAST else "known",
        "tastings": [t.id for t, _ in pairs[::-1][:LISTED]],
    }
