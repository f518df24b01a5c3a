"""The palate as one JSON document, for /api/palate: codes and numbers, no sentences.

Lists of tastings contain the newest ids, at most `LISTED`, and the full count; the phone has the
records.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

import numpy as np

from webapp.palate.data.from_records import (
    BOTTLE_FIELDS,
    TASTING_FIELDS,
    Record,
    TastingRecord,
    count_wines,
    merge_chain,
    read_tastings,
    to_arrays,
)
from webapp.palate.data.from_sheets import tastings_of_person
from webapp.palate.data.wine_styles import Style, wine_space
from webapp.palate.fit_model import fit_palate
from webapp.palate.use.calibration import label_calibration
from webapp.palate.use.changes import changes
from webapp.palate.use.compact import reason_record
from webapp.palate.use.ideal_points import IdealPoint
from webapp.palate.use.palate import Palate

LISTED = 200
YOUNG, GROWING = 5, 10


def select_inputs(
    tastings: Iterable[Record], bottles: Iterable[Record]
) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """Reduce flat records to what the report reads; equal inputs give an equal report."""
    return _select(tastings, TASTING_FIELDS), _select(bottles, BOTTLE_FIELDS)


def select_person_inputs(
    person: str,
    guests: Iterable[Record],
    glasses: Iterable[Record],
    sheets: Iterable[Record],
    bottles: Iterable[Record],
) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """Return the same for a person, from the sheets of led tastings (flat records)."""
    tastings = tastings_of_person(person, guests, glasses, sheets)
    poured = {one["bottle"] for one in tastings}
    return select_inputs(tastings, _with_survivors(bottles, poured))


def _with_survivors(bottles: Iterable[Record], poured: set[Any]) -> list[Record]:
    """Return these bottles and those into which they were merged; others cause no new fit."""
    by_id = {str(one["id"]): one for one in bottles}
    found: dict[str, Record] = {}
    for first in poured:
        found.update({id_: by_id[id_] for id_ in merge_chain(first, by_id) if id_ in by_id})
    return list(found.values())


def _select(records: Iterable[Record], names: Sequence[str]) -> list[dict[str, Any]]:
    found = [
        {"id": one["id"], **{name: one[name] for name in names if name in one}} for one in records
    ]
    return sorted(found, key=lambda one: str(one["id"]))


def palate_report(
    tastings: Iterable[Record], bottles: Iterable[Record], styles: Sequence[Style], today: date
) -> dict[str, Any]:
    """Compute everything that the Palate screen shows.

    tastings, bottles: records (see `from_records`); styles: the parsed static/spec/styles.json;
    today: the end of the year that `changes` compares. Works for any number of tastings, including
    none; every number is finite or null.
    """
    records = read_tastings(tastings, bottles)
    space = wine_space(styles)
    arrays = to_arrays(records, space)
    palate = fit_palate(arrays, space)
    rated = [tasting for tasting in records if not np.isnan(tasting.liking)]
    wines = count_wines(rated)
    return {
        "format": 1,
        "n_tastings": len(records),
        "n_rated": len(rated),
        "n_wines": wines,
        "levels": levels(wines),
        "compact": palate.compact(),
        "targets": [_target(target, records) for target in palate.ideal_points()],
        "alcohol": _alcohol(palate, records),
        "styles": _styles(palate, records),
        "next": _next(palate),
        "changes": changes(records, arrays, space, today),
        "repeatability": _repeatability(palate, records),
        "calibration": label_calibration(records),
    }


def levels(wines: int) -> list[str]:
    """Return codes that warn how little this number of rated wines can tell."""
    if wines == 0:
        return ["nothing_rated", "prior_only"]
    if wines < YOUNG:
        return ["under_five", "mostly_prior"]
    return ["under_ten"] if wines < GROWING else []


def _target(target: IdealPoint, records: Sequence[TastingRecord]) -> dict[str, Any]:
    name = str(target.attribute)
    dots = [
        {"tasting": t.id, "x": float(t.fields[name]), "liking": t.liking}
        for t in reversed(records)
        if _known(t.fields.get(name)) and not np.isnan(t.liking)
    ]
    marks = [t.fields.get("just_right_" + name) for t in records]
    return {
        "attribute": name,
        "target": target.target,
        "low": target.low,
        "high": target.high,
        "weight": target.weight,
        "shape": target.shape,
        "n": len(dots),
        "dots": dots[:LISTED],
        "marks": {
            "too_little": marks.count(-1),
            "just_right": marks.count(0),
            "too_much": marks.count(1),
        },
    }


def _known(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and 0 <= value <= 10


def _alcohol(palate: Palate, records: Sequence[TastingRecord]) -> dict[str, Any] | None:
    found = palate.alcohol_range()
    if found is None:
        return None
    rated = [t for t in reversed(records) if not np.isnan(t.label_abv + t.liking)]
    dots = [{"tasting": t.id, "x": t.label_abv, "liking": t.liking} for t in rated]
    return {
        "low_abv": found.low,
        "high_abv": found.high,
        "best_abv": found.best,
        "low_between_abv": list(found.low_between),
        "high_between_abv": list(found.high_between),
        "known": found.known and count_wines(rated) >= YOUNG,
        "n": len(dots),
        "dots": dots[:LISTED],
    }


def _styles(palate: Palate, records: Sequence[TastingRecord]) -> list[dict[str, Any]]:
    """Return, for each tasted style, mean and sd of its answers and the prediction for it."""
    rows: dict[int, list[int]] = {}
    for row, style in enumerate(palate.tastings.style):
        if style >= 0 and not np.isnan(palate.tastings.liking[row]):
            rows.setdefault(int(style), []).append(row)
    names = [palate.space.styles[style] for style in rows]
    found = palate.predict(style=names)
    entries = []
    for i, (name, at) in enumerate(zip(names, rows.values(), strict=True)):
        answers = palate.tastings.liking[at]
        entries.append(
            {
                "style": name,
                "n": len(at),
                "liking": float(answers.mean()),
                "liking_sd": float(answers.std(ddof=1)) if len(at) > 1 else None,
                "mean": float(found.mean[i]),
                "sd": float(found.sd_of_mean[i]),
                "p_like": float(found.p_like[i]),
                "tastings": [records[r].id for r in at[::-1][:LISTED]],
            }
        )
    return sorted(entries, key=lambda entry: (-entry["mean"], entry["style"]))


def _next(palate: Palate) -> dict[str, list[dict[str, Any]]]:
    lists = palate.recommend()
    return {
        name: _entries(palate, getattr(lists, name)) for name in ("close", "stretch", "teaches")
    }


def _entries(palate: Palate, positions: Sequence[int]) -> list[dict[str, Any]]:
    names = [palate.space.styles[i] for i in positions]
    found, reasons = palate.predict(style=names), palate.reasons(style=names)
    return [
        {
            "style": name,
            "mean": float(found.mean[i]),
            "sd": float(found.sd[i]),
            "sd_of_mean": float(found.sd_of_mean[i]),
            "p_like": float(found.p_like[i]),
            "reasons": [reason_record(reason) for reason in reasons[i]],
        }
        for i, name in enumerate(names)
    ]


def _repeatability(palate: Palate, records: Sequence[TastingRecord]) -> dict[str, Any]:
    found = palate.repeatability
    return {
        "within_sd": found.within_sd,
        "limit": found.limit,
        "ceiling": found.ceiling,
        "n": found.freedom,
        "level": "none" if not found.freedom else "few" if found.freedom < YOUNG else "known",
        "bottles": [
            {
                "bottle": records[rows[0]].bottle_id,
                "tastings": [records[r].id for r in rows],
                "likings": [records[r].liking for r in rows],
            }
            for rows in found.bottles[-LISTED:]
        ],
    }
