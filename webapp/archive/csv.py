"""The tastings as CSV for a spreadsheet: one row each, with the main facts of the bottle.

Headings and choices are the ids of the archive format, the same in every language, so that a
spreadsheet made for one notebook works with another. Numbers have a decimal point.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from typing import Any

from webapp import spec
from webapp.archive.readings import COMPUTED_COLUMNS, computed_cells

BOTTLE_COLUMNS = (
    "name",
    "producer",
    "vintage",
    "non_vintage",
    "style",
    "region",
    "country",
    "label_abv",
)
_MOST_MERGES = 8
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
# Some spreadsheets split cells at a semicolon or a tab and then take no quotes within a line, so a
# formula could start within a text, or on a new line of it.
_INNER_FORMULA = re.compile("([;\t\r\n][ \"']*)(?=[=+@\uff1d\uff0b\uff0d\uff20-])")


def tastings_csv(
    tastings: list[dict[str, Any]],
    bottles: Mapping[str, dict[str, Any]],
    market: str | None,
    today: str,
) -> str:
    """Return CSV (RFC 4180) with a header row; lists are joined by spaces, formulas are escaped.

    `market` (the owner's) and `today` (YYYY-MM-DD, day of the export) are for `computed_cells`.
    """
    columns = [name for name in spec.kinds()["tasting"] if name not in ("bottle", "example")]
    out = io.StringIO()
    sheet = csv.writer(out, lineterminator="\r\n")
    heads = [f"bottle_{name}" for name in BOTTLE_COLUMNS]
    sheet.writerow(["id", *heads, *columns, *COMPUTED_COLUMNS])
    for tasting in sorted(tastings, key=lambda one: (instant_ms(one.get("tasted_at")), one["id"])):
        bottle = surviving_bottle(bottles, tasting.get("bottle"))
        facts = [bottle.get(name) for name in BOTTLE_COLUMNS]
        stored = [tasting.get(name) for name in columns]
        computed = computed_cells(tasting, bottle, market, today)
        sheet.writerow(map(cell, [tasting["id"], *facts, *stored, *computed]))
    return out.getvalue()


def instant_ms(moment: Any) -> int:
    """Return the milliseconds since 1970 of a moment or the start of a day, to sort by; else 0."""
    try:
        at = datetime.fromisoformat(str(moment))
    except ValueError:
        return 0
    return ((at if at.tzinfo else at.replace(tzinfo=UTC)) - _EPOCH) // timedelta(milliseconds=1)


def surviving_bottle(bottles: Mapping[str, dict[str, Any]], first: Any) -> dict[str, Any]:
    """Follow `merged_into`, as resolveMerged() does: two phones may have merged in a circle."""
    found = bottles.get(str(first), {})
    for _step in range(_MOST_MERGES):
        onward = bottles.get(str(found.get("merged_into")))
        if onward is None:
            break
        found = onward
    return found


def cell(value: Any) -> Any:
    """Convert a value to a cell; put an apostrophe before text that would run as a formula.

    The characters are those of the OWASP page on CSV injection.
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        value = " ".join(map(str, value))
    if not isinstance(value, str):
        return value
    value = _INNER_FORMULA.sub(r"\1'", value)
    return "'" + value if value.startswith(_FORMULA_STARTS) else value
