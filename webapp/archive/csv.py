"""The tastings as CSV for a spreadsheet: one row each, the bottle's main facts beside the note.

Headings and choices are the ids of the open format, the same in every language, so that a sheet
made for one book reads the next. Numbers carry a decimal point.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping
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
_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
# Where a semicolon or a tab parts cells, a text could end its cell and begin another.
_INNER_FORMULA = re.compile("([;\t][ \"']*)(?=[=+@\uff1d\uff0b\uff0d\uff20-])")


def tastings_csv(
    tastings: list[dict[str, Any]],
    bottles: Mapping[str, dict[str, Any]],
    market: str | None,
    today: str,
) -> str:
    """CSV (RFC 4180) with a header row. Lists are joined by blanks; texts never start a formula.

    `market` is the owner's, `today` (YYYY-MM-DD) the day of the export, for `computed_cells`.
    """
    columns = [name for name in spec.kinds()["tasting"] if name not in ("bottle", "example")]
    out = io.StringIO()
    sheet = csv.writer(out, lineterminator="\r\n")
    heads = [f"bottle_{name}" for name in BOTTLE_COLUMNS]
    sheet.writerow(["id", *heads, *columns, *COMPUTED_COLUMNS])
    for tasting in sorted(tastings, key=lambda one: (str(one.get("tasted_at") or ""), one["id"])):
        bottle = bottles.get(str(tasting.get("bottle")), {})
        facts = [bottle.get(name) for name in BOTTLE_COLUMNS]
        stored = [tasting.get(name) for name in columns]
        computed = computed_cells(tasting, bottle, market, today)
        sheet.writerow(map(cell, [tasting["id"], *facts, *stored, *computed]))
    return out.getvalue()


def cell(value: Any) -> Any:
    """A value as a cell. A text that a spreadsheet would run as a formula gets an apostrophe.

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
