"""An export holds neither a whole kind of records nor all revisions in memory."""

from __future__ import annotations

import io
import tracemalloc
import uuid
import zipfile
from pathlib import Path

from flask import Flask
from sqlalchemy import insert, select

from webapp.archive.dump import export_archive
from webapp.db.engine import read_transaction, write_transaction
from webapp.db.tables import owner, record, revision
from webapp.photos.folder import FolderFiles

COUNT = 600
TEXT = '"' + "x" * 20_000 + '"'
CLOCK = "1790000000000-0000-aaaaaaaa"


def fill(owner_id: int) -> None:
    ids = [str(uuid.uuid4()) for _ in range(COUNT)]
    mark = {"owner_id": owner_id, "kind": "visit"}
    row = {**mark, "clocks": "{}", "deleted": False, "deleted_clock": None}
    fields = f'{{"moon":{TEXT}}}'
    values = {**mark, "field": "moon", "clock": CLOCK, "value": TEXT, "overruled_at": None}
    with write_transaction() as connection:
        for place, id_ in enumerate(ids):
            one = {**row, "id": id_, "seq": place + 1, "fields": fields}
            connection.execute(insert(record), one)
            connection.execute(insert(revision), {**values, "record_id": id_, "digest": "a"})


def test_export_holds_few_rows_in_memory(any_app: Flask, tmp_path: Path) -> None:
    out = io.BytesIO()
    with any_app.app_context():
        with read_transaction() as connection:
            owner_id = connection.scalars(select(owner.c.id)).one()
        fill(owner_id)
        tracemalloc.start()
        try:
            with read_transaction() as connection:
                written = export_archive(connection, owner_id, FolderFiles(tmp_path), out)
            peak = tracemalloc.get_traced_memory()[1]
        finally:
            tracemalloc.stop()
    assert written == COUNT
    assert peak < COUNT * len(TEXT) // 2
    with zipfile.ZipFile(out) as archive:
        for name in ("visit.jsonl", "revisions.jsonl"):
            assert archive.read(name).count(b"\n") == COUNT
        assert archive.testzip() is None
