"""Export: writes the ZIP described in `webapp.archive`, from one snapshot of the database."""

from __future__ import annotations

import json
import zipfile
from datetime import UTC, datetime
from pathlib import Path
from typing import IO, Any

from sqlalchemy import Connection, Row, select

from webapp import spec
from webapp.archive.csv import tastings_csv
from webapp.db.tables import owner, record, revision
from webapp.photos.sanitize import SUFFIXES
from webapp.photos.storage import list_photos, photo_path
from webapp.records.repository import active_records, to_json

FORMAT = 1


def export_archive(connection: Connection, owner_id: int, photos: Path, out: IO[bytes]) -> int:
    """Write the whole notebook of an owner to `out`; return the number of records."""
    written = 0
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=6) as archive:
        archive.writestr("book.json", _head(connection, owner_id))
        for kind in spec.kinds():
            lines = [_record_line(row) for row in _records(connection, owner_id, kind)]
            written += len(lines)
            if lines:
                archive.writestr(f"{kind}.jsonl", "".join(lines))
        archive.writestr("revisions.jsonl", _revision_lines(connection, owner_id))
        archive.writestr("tastings.csv", _sheet(connection, owner_id))
        for row in list_photos(connection, owner_id):
            path = photo_path(photos, row)
            if path.is_file():
                name = f"photos/{row.id}{SUFFIXES[row.media_type]}"
                archive.write(path, name, zipfile.ZIP_STORED)
    return written


def _head(connection: Connection, owner_id: int) -> str:
    name = connection.scalar(select(owner.c.name).where(owner.c.id == owner_id))
    made_at = datetime.now(UTC).isoformat(timespec="seconds")
    return json.dumps({"format": FORMAT, "made_at": made_at, "owner_name": name}, indent=1) + "\n"


def _records(connection: Connection, owner_id: int, kind: str) -> list[Row[Any]]:
    columns = record.c
    query = select(record).where(columns.owner_id == owner_id, columns.kind == kind)
    return [*connection.execute(query.order_by(columns.id))]


def _record_line(row: Row[Any]) -> str:
    return (
        f'{{"kind":"{row.kind}","id":"{row.id}","fields":{row.fields},"clocks":{row.clocks},'
        f'"deleted":{to_json(bool(row.deleted))},"deleted_clock":{to_json(row.deleted_clock)}}}\n'
    )


def _revision_lines(connection: Connection, owner_id: int) -> str:
    columns = revision.c
    query = select(revision).where(columns.owner_id == owner_id)
    key = (columns.kind, columns.record_id, columns.field, columns.clock, columns.digest)
    return "".join(
        f'{{"kind":"{row.kind}","id":"{row.record_id}","field":"{row.field}","value":{row.value},'
        f'"clock":"{row.clock}","overruled_at":{to_json(row.overruled_at)}}}\n'
        for row in connection.execute(query.order_by(*key))
    )


def _sheet(connection: Connection, owner_id: int) -> str:
    tastings = list(active_records(connection, owner_id, "tasting"))
    bottles = {one["id"]: one for one in active_records(connection, owner_id, "bottle")}
    settings = next(active_records(connection, owner_id, "settings"), {})
    today = datetime.now(UTC).date().isoformat()
    # The byte order mark makes common spreadsheets read the file as UTF-8.
    return "\ufeff" + tastings_csv(tastings, bottles, settings.get("market"), today)
