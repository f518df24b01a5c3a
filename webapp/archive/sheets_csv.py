"""The sheets of led tastings as CSV: one row for each guest and glass."""

from __future__ import annotations

import csv
import io
from typing import Any

from sqlalchemy import Connection

from webapp import spec
from webapp.archive.csv import BOTTLE_COLUMNS, cell, instant_ms, surviving_bottle
from webapp.records.repository import active_records

HEAD_COLUMNS = ("name", "on", "place", "leader_name", "started_at", "ended_at")
GLASS_COLUMNS = ("mark", "position")
GUEST_COLUMNS = ("number", "name", "entry")
_REFS = ("group_tasting", "glass", "guest", "example", "left_out")
Fields = dict[str, Any]


def sheets_csv(connection: Connection, owner_id: int, table: str | None = None) -> str | None:
    """Return CSV (RFC 4180) of the sheets of a table, or of all; None if there is no such table.

    Rows are by table, position of the glass, and number of the guest.
    """
    heads = _by_id(connection, owner_id, "group_tasting")
    if table is not None and table not in heads:
        return None
    kinds = ("glass", "guest", "person", "bottle")
    others = {kind: _by_id(connection, owner_id, kind) for kind in kinds}
    chosen = [
        (heads.get(str(sheet.get("group_tasting")), {}), sheet)
        for sheet in active_records(connection, owner_id, "sheet")
        if table is None or sheet.get("group_tasting") == table
    ]
    judged = [name for name in spec.kinds()["sheet"] if _is_answer(name)]
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(_headings(judged))
    rows = [_row(head, sheet, others, judged) for head, sheet in chosen]
    for _, values in sorted(rows, key=lambda row: row[0]):
        writer.writerow(map(cell, values))
    # The byte order mark makes common spreadsheets read the file as UTF-8.
    return "\ufeff" + out.getvalue()


def _is_answer(name: str) -> bool:
    return name not in _REFS and not name.startswith("done_")


def _by_id(connection: Connection, owner_id: int, kind: str) -> dict[str, Fields]:
    return {one["id"]: one for one in active_records(connection, owner_id, kind)}


def _headings(judged: list[str]) -> list[str]:
    return [
        "id",
        "group_tasting",
        *(f"group_tasting_{name}" for name in HEAD_COLUMNS),
        *(f"glass_{name}" for name in GLASS_COLUMNS),
        *(f"guest_{name}" for name in GUEST_COLUMNS),
        "person_name",
        *(f"bottle_{name}" for name in BOTTLE_COLUMNS),
        *judged,
    ]


def _row(
    head: Fields, sheet: Fields, others: dict[str, dict[str, Fields]], judged: list[str]
) -> tuple[tuple[Any, ...], list[Any]]:
    """Return (sort key, cells) of a sheet."""
    glass = others["glass"].get(str(sheet.get("glass")), {})
    guest = others["guest"].get(str(sheet.get("guest")), {})
    person = others["person"].get(str(guest.get("person")), {})
    bottle = surviving_bottle(others["bottle"], glass.get("bottle"))
    began = instant_ms(head.get("started_at") or head.get("on"))
    order = (glass.get("position") or 0, guest.get("number") or 0, sheet["id"])
    cells = [
        sheet["id"],
        sheet.get("group_tasting"),
        *(head.get(name) for name in HEAD_COLUMNS),
        *(glass.get(name) for name in GLASS_COLUMNS),
        *(guest.get(name) for name in GUEST_COLUMNS),
        person.get("name"),
        *(bottle.get(name) for name in BOTTLE_COLUMNS),
        *(sheet.get(name) for name in judged),
    ]
    return (began, str(sheet.get("group_tasting")), *order), cells
