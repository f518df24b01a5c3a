"""Converts the records of a notebook to the arrays that `fit_palate` takes.

Records are mappings {"id", "fields": {name: value}, "deleted"?} or flat mappings with the same
names. A missing value, or one outside its scale, counts as not entered, so that one invalid record
cannot fail the fit.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from typing import Any

import numpy as np

from webapp.palate.data.attribute_space import AttributeSpace, Floats, Ints
from webapp.palate.data.label_values import with_analysis
from webapp.palate.data.tastings import LIKING_HIGH, LIKING_LOW
from webapp.palate.data.wine_styles import (
    ATTRIBUTES,
    SCALE_HIGH,
    SCALE_LOW,
    WARMTH_SPREAD,
    family_of,
    warmth_of,
)

Record = Mapping[str, Any]
SWEETNESS, ACIDITY, WARMTH = (ATTRIBUTES.index(name) for name in ("sweetness", "acidity", "warmth"))
SUGAR_HIGH_GL, ACIDITY_HIGH_GL = 700.0, 30.0
BUYS = {"no": -1.0, "maybe": 0.0, "yes": 1.0}
ABV_LOW, ABV_HIGH = 0.0, 25.0
# All that the report reads of a record. Other fields may change without a new fit.
TASTING_FIELDS = (
    "bottle",
    "tasted_at",
    "liking",
    "would_buy",
    "look_colour",
    "guess_abv",
    "guess_age_years",
    "faults",
    "fault_counts",
    *ATTRIBUTES,
    *(f"just_right_{name}" for name in ATTRIBUTES),
)
BOTTLE_FIELDS = (
    "merged_into",
    "style",
    "colour",
    "kind",
    "residual_sugar_gl",
    "total_acidity_gl",
    "vintage",
    "label_abv",
    "label_abv_low",
    "label_abv_high",
)


@dataclass(frozen=True)
class TastingRecord:
    """One tasting with its bottle: fields of both, and the time (None if not entered)."""

    id: str
    fields: Mapping[str, Any]
    bottle_id: str | None
    bottle: Mapping[str, Any]
    at: datetime | None

    @cached_property
    def liking(self) -> float:
        return number_within(self.fields.get("liking"), LIKING_LOW, LIKING_HIGH)

    @cached_property
    def label_abv(self) -> float:
        """Return the printed alcohol in % vol, the middle of a printed range, or NaN."""
        ends = [
            number_within(self.bottle.get(name), ABV_LOW, ABV_HIGH)
            for name in ("label_abv_low", "label_abv_high")
        ]
        printed = number_within(self.bottle.get("label_abv"), ABV_LOW, ABV_HIGH)
        return (ends[0] + ends[1]) / 2 if np.isnan(printed) else printed


def number_within(value: Any, low: float, high: float) -> float:
    """Return the value as a float if it is a number in low..high, else NaN."""
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not low <= value <= high:
        return float("nan")
    return float(value)


def read_tastings(tastings: Iterable[Record], bottles: Iterable[Record]) -> list[TastingRecord]:
    """Return the tastings to learn from, with their bottles: undated ones, then by time.

    Deleted ones are left out, and those of faulty bottles unless the taster lets them count.
    """
    by_id = {
        str(record.get("id")): _fields(record) for record in bottles if not record.get("deleted")
    }
    found = []
    for record in tastings:
        if record.get("deleted"):
            continue
        fields = _fields(record)
        if fields.get("faults") and fields.get("fault_counts") is not True:
            continue
        bottle_id = _bottle_of(fields.get("bottle"), by_id)
        found.append(
            TastingRecord(
                str(record.get("id")),
                fields,
                bottle_id,
                by_id.get(bottle_id or "", {}),
                parse_time(fields.get("tasted_at")),
            )
        )
    return sorted(found, key=lambda t: (t.at.timestamp() if t.at else 0.0, t.id))


def _fields(record: Record) -> Mapping[str, Any]:
    inner = record.get("fields")
    return inner if isinstance(inner, Mapping) else record


def _bottle_of(bottle: Any, by_id: Mapping[str, Mapping[str, Any]]) -> str | None:
    """Return the id of a tasting's bottle, or of what it was merged into."""
    ids = [*merge_chain(bottle, by_id)]
    return ids[-1] if ids else None


def merge_chain(bottle: Any, by_id: Mapping[str, Mapping[str, Any]]) -> Iterator[str]:
    """Yield a bottle's id and those of what it was merged into; the last of a circle comes twice.

    Two phones may have merged in a circle.
    """
    seen: set[str] = set()
    while bottle is not None:
        id_ = str(bottle)
        yield id_
        if id_ in seen:
            break
        seen.add(id_)
        bottle = by_id.get(id_, {}).get("merged_into")


def count_wines(records: Iterable[TastingRecord]) -> int:
    """Count different bottles; a tasting without a bottle counts as a wine of its own."""
    return len({tasting.bottle_id or (tasting.id,) for tasting in records})


def parse_time(text: Any) -> datetime | None:
    """Parse an RFC 3339 timestamp; None if invalid or without an offset."""
    try:
        found = datetime.fromisoformat(str(text))
    except ValueError:
        return None
    return found if found.tzinfo else None


def to_arrays(records: Sequence[TastingRecord], space: AttributeSpace) -> dict[str, Any]:
    """Return the arrays for `fit_palate`.

    Known are warmth, from the alcohol on the label, and sweetness and acidity, from the analysis.
    """
    style = _styles(records, space)
    known, around = _known_from_analysis(records, space, space.style_index(style, len(records)))
    known[:, WARMTH] = warmth_of([tasting.label_abv for tasting in records])
    around[:, WARMTH] = WARMTH_SPREAD
    return {
        "X": _columns(records, "", SCALE_LOW, SCALE_HIGH),
        "just_right": _columns(records, "just_right_", -1, 1),
        "liking": np.array([tasting.liking for tasting in records]),
        "would_buy": np.array([BUYS.get(str(t.fields.get("would_buy")), np.nan) for t in records]),
        "style": style,
        "bottle": [tasting.bottle_id for tasting in records],
        "known": known,
        "known_spread": around,
    }


def some_rows(arrays: Mapping[str, Any], rows: Sequence[int]) -> dict[str, Any]:
    """Return the arrays of some of the records."""
    return {
        name: values[rows] if isinstance(values, np.ndarray) else [values[row] for row in rows]
        for name, values in arrays.items()
    }


def _styles(records: Sequence[TastingRecord], space: AttributeSpace) -> list[str | None]:
    """Return the style of each bottle; if unknown, the family of its colour and kind, or None.

    A colour not on the bottle's record is the one that the taster saw.
    """
    styles = set(space.styles)
    return [
        name
        if isinstance(name := t.bottle.get("style"), str) and name in styles
        else family_of(
            t.bottle.get("colour") or t.fields.get("look_colour"),
            t.bottle.get("kind"),
            space.families,
        )
        for t in records
    ]


def _known_from_analysis(
    records: Sequence[TastingRecord], space: AttributeSpace, style: Ints
) -> tuple[Floats, Floats]:
    """Return known values and their spread (n, K), in scale units, NaN where not known."""
    sugar, acidity = (
        np.array([number_within(t.bottle.get(name), 0.0, high) for t in records])
        for name, high in (
            ("residual_sugar_gl", SUGAR_HIGH_GL),
            ("total_acidity_gl", ACIDITY_HIGH_GL),
        )
    )
    known, around = np.full((2, len(records), len(ATTRIBUTES)), np.nan)
    z, sd = with_analysis(space, *space.usual(style), sugar, acidity)
    for k, stated in ((SWEETNESS, sugar), (ACIDITY, acidity)):
        row = ~np.isnan(stated)
        value = space.centre[k] + space.scale[k] * z[row, k]
        known[row, k] = np.clip(value, SCALE_LOW, SCALE_HIGH)
        around[row, k] = space.scale[k] * sd[row, k]
    return known, around


def _columns(records: Sequence[TastingRecord], prefix: str, low: float, high: float) -> Floats:
    names, empty = [prefix + name for name in ATTRIBUTES], float("nan")
    # As `number_within`, inline, because most of the time of a report would pass there.
    values = [
        value
        if type(value := t.fields.get(name, empty)) in (int, float) and low <= value <= high
        else empty
        for t in records
        for name in names
    ]
    table = np.array(values, dtype=float).reshape(len(records), len(ATTRIBUTES))
    return np.where(np.isin(table, (-1, 0, 1)), table, np.nan) if prefix else table
