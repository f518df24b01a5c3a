"""An import holds the text of one file, the ids, and one batch of records in memory."""

from __future__ import annotations

import io
import tracemalloc
import uuid
import zipfile
from collections.abc import Callable, Iterator

import pytest
from flask import Flask
from sqlalchemy import select

from webapp.archive import load
from webapp.archive.load import import_archive
from webapp.archive.parse import read_zip
from webapp.db.engine import read_transaction, write_transaction
from webapp.db.tables import owner
from webapp.photos.storage import PhotoStore

CLOCK = "1790000000000-0000-aaaaaaaa"
FAR_MS = 7_258_000_000_000
MOST = 4
# For a statement and its answer.
FIXED_BYTES = 300_000


def tiny() -> Iterator[str]:
    for number in range(4500):
        yield f'{{"id":"{uuid.UUID(int=number)}"}}'


def ahead() -> Iterator[str]:
    for number in range(60):
        clocks = (f'"a{one}":"{FAR_MS + number * 200 + one}-0000-aaaaaaaa"' for one in range(200))
        fields = ",".join(f'"a{one}":0' for one in range(200))
        parts = f'"fields":{{{fields}}},"clocks":{{{",".join(clocks)}}}'
        yield f'{{"id":"{uuid.UUID(int=number)}",{parts}}}'


def nested() -> Iterator[str]:
    value = f"[{','.join(['{}'] * 500)}]"
    fields = ",".join(f'"a{one}":{value}' for one in range(8))
    clocks = ",".join(f'"a{one}":"{CLOCK}"' for one in range(8))
    for number in range(15):
        id_ = uuid.UUID(int=number)
        yield f'{{"id":"{id_}","fields":{{{fields}}},"clocks":{{{clocks}}}}}'


def packed(lines: list[str]) -> io.BytesIO:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as file:
        file.writestr("book.json", '{"format":1}')
        file.writestr("bottle.jsonl", "\n".join(lines))
    return out


@pytest.mark.parametrize(("lines", "batch"), [(tiny, 200), (ahead, 10), (nested, 10)])
def test_import_takes_few_times_the_text_in_memory(
    app: Flask, monkeypatch: pytest.MonkeyPatch, lines: Callable[[], Iterator[str]], batch: int
) -> None:
    # What a batch takes in the database does not depend on the archive.
    monkeypatch.setattr(load, "_import_records", lambda *given: (len(given[2]), []))
    monkeypatch.setattr(load, "pause", lambda _: None)
    monkeypatch.setattr(load, "BATCH", batch)
    monkeypatch.setattr(load, "BATCH_CHARACTERS", 10_000)
    text = [*lines()]
    with app.app_context():
        store = PhotoStore.of(app.config)
        with read_transaction() as connection:
            owner_id = connection.scalars(select(owner.c.id)).one()
        # The first import also compiles the statements.
        import_archive(write_transaction, owner_id, read_zip(packed(text[:batch]), 10**9), store)
        file = packed(text)
        tracemalloc.start()
        try:
            counts = import_archive(write_transaction, owner_id, read_zip(file, 10**9), store)
            peak = tracemalloc.get_traced_memory()[1]
        finally:
            tracemalloc.stop()
    assert counts.records == len(text)
    assert peak < MOST * sum(map(len, text)) + FIXED_BYTES
