"""Export: writes the ZIP described in `webapp.archive`, from one snapshot of the database."""

from __future__ import annotations

import json
import time
import zipfile
from collections.abc import Iterable
from datetime import UTC, datetime
from itertools import chain
from typing import IO, Any

from sqlalchemy import Connection, Row

from webapp import spec
from webapp.archive.csv import tastings_csv
from webapp.archive.sheets_csv import sheets_csv
from webapp.photos.files import PhotoFiles
from webapp.photos.sanitize import SUFFIXES
from webapp.photos.storage import list_photos
from webapp.records.repository import (
    active_records,
    notebook_row,
    revision_rows,
    streamed_record_rows,
    to_json,
)

FORMAT = 1


def export_archive(
    connection: Connection, owner_id: int, photos: PhotoFiles, out: IO[bytes]
) -> int:
    """Write the whole notebook of an owner to `out`; return the number of records."""
    written = 0
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=6) as archive:
        archive.writestr("book.json", _head(connection, owner_id))
        for kind in spec.kinds():
            lines = map(_record_line, streamed_record_rows(connection, owner_id, kind))
            first = next(lines, None)
            if first is not None:
                written += _write(archive, f"{kind}.jsonl", chain([first], lines))
        revisions = map(_revision_line, revision_rows(connection, owner_id))
        _write(archive, "revisions.jsonl", revisions)
        archive.writestr("tastings.csv", _sheet(connection, owner_id))
        if "sheet.jsonl" in archive.namelist():
            archive.writestr("group_tastings.csv", sheets_csv(connection, owner_id) or "")
        for row in list_photos(connection, owner_id):
            content = photos.read(owner_id, row.sha256)
            if content is not None:
                name = f"photos/{row.id}{SUFFIXES[row.media_type]}"
                archive.writestr(name, content, zipfile.ZIP_STORED)
    return written


def _write(archive: zipfile.ZipFile, name: str, lines: Iterable[str]) -> int:
    """Write a file line by line, as it may be larger than the memory; return how many lines."""
    entry = zipfile.ZipInfo(name, time.localtime()[:6])
    entry.compress_type = archive.compression
    count = 0
    with archive.open(entry, "w", force_zip64=True) as file:
        for line in lines:
            file.write(line.encode())
            count += 1
    return count


def _head(connection: Connection, owner_id: int) -> str:
    name = notebook_row(connection, owner_id, lock=False).name
    made_at = datetime.now(UTC).isoformat(timespec="seconds")
    return json.dumps({"format": FORMAT, "made_at": made_at, "owner_name": name}, indent=1) + "\n"


def _record_line(row: Row[Any]) -> str:
    return (
        f'{{"kind":"{row.kind}","id":"{row.id}","fields":{row.fields},"clocks":{row.clocks},'
        f'"deleted":{to_json(bool(row.deleted))},"deleted_clock":{to_json(row.deleted_clock)}}}\n'
    )


def _revision_line(row: Row[Any]) -> str:
    return (
        f'{{"kind":"{row.kind}","id":"{row.record_id}","field":"{row.field}","value":{row.value},'
        f'"clock":"{row.clock}","overruled_at":{to_json(row.overruled_at)}}}\n'
    )


def _sheet(connection: Connection, owner_id: int) -> str:
    tastings = list(active_records(connection, owner_id, "tasting"))
    bottles = {one["id"]: one for one in active_records(connection, owner_id, "bottle")}
    settings = next(active_records(connection, owner_id, "settings"), {})
    today = datetime.now(UTC).date().isoformat()
    # The byte order mark makes common spreadsheets read the file as UTF-8.
    return "\ufeff" + tastings_csv(tastings, bottles, settings.get("market"), today)
