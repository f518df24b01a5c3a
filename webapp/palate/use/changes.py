"""Compares the last year with the time before: two palates, fitted separately."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import Any

import numpy as np

from webapp.palate.data.attribute_space import AttributeSpace
from webapp.palate.data.from_records import TastingRecord, count_wines, some_rows
from webapp.palate.fit_model import fit_palate
from webapp.palate.use.palate import Palate

DAY, YEAR = timedelta(days=1), timedelta(days=365)
LEAST_EACH = 5
LISTED = 200
# A change is "clear" if the two 80 % intervals do not overlap.
CLEAR, UNCLEAR = "clear", "unclear"


def changes(
    records: Sequence[TastingRecord], arrays: Mapping[str, Any], space: AttributeSpace, today: date
) -> dict[str, Any]:
    """Compare liking and ideal points of the last 365 days with all before.

    records: by time, undated ones first; arrays: as from `to_arrays`.
    Undated tastings are ignored. With fewer than five rated wines on either side the level is
    "too_few". `tastings` lists the ids of the last 365 days.
    """
    since = today - YEAR + DAY
    # Where the tasting is, it may be tomorrow already.
    until = today + DAY
    days = {i: t.at.date() for i, t in enumerate(records) if t.at and not np.isnan(t.liking)}
    rows = (
        [i for i, day in days.items() if day < since],
        [i for i, day in days.items() if since <= day <= until],
    )
    before, now = ([records[i] for i in part] for part in rows)
    wines = [count_wines(part) for part in (before, now)]
    answer: dict[str, Any] = {
        "since": since.isoformat(),
        "n_before": wines[0],
        "n_now": wines[1],
        "level": "too_few",
        "tastings": [t.id for t in now[::-1][:LISTED]],
        "liking": None,
        "attributes": [],
    }
    if min(wines) < LEAST_EACH:
        return answer
    answer["level"] = "compared"
    answer["liking"] = _liking(before, now)
    old, new = (fit_palate(some_rows(arrays, part), space) for part in rows)
    answer["attributes"] = _attributes(old, new)
    return answer


def _liking(before: Sequence[TastingRecord], now: Sequence[TastingRecord]) -> dict[str, Any]:
    one, two = (np.array([t.liking for t in part]) for part in (before, now))
    # Standard error of a difference of two means. The variances are pooled, with 1.0 added, so that
    # five equal answers do not give a standard error of 0.
    pooled = (one.var() * len(one) + two.var() * len(two) + 1.0) / (len(one) + len(two))
    sd = float(np.sqrt(pooled * (1 / len(one) + 1 / len(two))))
    shift = float(two.mean() - one.mean())
    return {
        "before": float(one.mean()),
        "now": float(two.mean()),
        "shift": shift,
        "sd": sd,
        "before_sd": float(np.sqrt(pooled / len(one))),
        "now_sd": float(np.sqrt(pooled / len(two))),
        "level": CLEAR if abs(shift) > 2 * sd else UNCLEAR,
    }


def _attributes(old: Palate, new: Palate) -> list[dict[str, Any]]:
    entries = []
    for was, is_now in zip(old.ideal_points(), new.ideal_points(), strict=True):
        known = "unknown" not in (was.shape, is_now.shape)
        apart = was.high < is_now.low or is_now.high < was.low
        entries.append(
            {
                "attribute": was.attribute,
                "before": {
                    "target": was.target,
                    "low": was.low,
                    "high": was.high,
                    "shape": was.shape,
                },
                "now": {
                    "target": is_now.target,
                    "low": is_now.low,
                    "high": is_now.high,
                    "shape": is_now.shape,
                },
                "level": CLEAR if known and apart else UNCLEAR,
            }
        )
    return entries
