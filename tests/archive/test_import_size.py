"""A record that is too big is rejected at its own line, before the lines after it are parsed."""

from __future__ import annotations

import io
import json
import zipfile
from typing import Any

import pytest

from webapp.archive import parse
from webapp.archive.parse import InvalidArchive, read_zip
from webapp.sync.limits import MAX_RECORD_CHARACTERS
from webapp.sync.parse import InvalidRecord, parse_record

CLOCK = "1790000000000-0000-aaaaaaaa"


def record(number: int, fields: dict[str, Any]) -> dict[str, Any]:
    id_ = f"0192f0c1-2a3b-7c4d-8e5f-{number:012d}"
    return {"kind": "bottle", "id": id_, "fields": fields, "clocks": dict.fromkeys(fields, CLOCK)}


def packed(*records: dict[str, Any]) -> io.BytesIO:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("book.json", '{"format":1}')
        archive.writestr("bottle.jsonl", "\n".join(map(json.dumps, records)))
    return out


@pytest.mark.parametrize(
    "fields",
    [
        {f"moon_{number}": [{}] * 4000 for number in range(60)},
        {f"moon_{number}": "x" * 19_000 for number in range(30)},
    ],
)
def test_too_big_record_is_rejected_at_its_line(
    monkeypatch: pytest.MonkeyPatch, fields: dict[str, Any]
) -> None:
    read: list[str] = []
    usual = parse.parse_record
    monkeypatch.setattr(parse, "parse_record", lambda one: (read.append(one["id"]), usual(one))[1])
    records = [record(1, {"name": "small"}), *(record(place, fields) for place in range(2, 9))]
    with pytest.raises(InvalidArchive) as refused:
        read_zip(packed(*records), 10**9)
    assert (refused.value.place, refused.value.code) == ("bottle.jsonl:2", "refused")
    assert read == [one["id"] for one in records[:2]]


def test_too_big_record_is_not_checked_to_its_end(monkeypatch: pytest.MonkeyPatch) -> None:
    checked: list[Any] = []
    monkeypatch.setattr("webapp.sync.parse.storage_error", checked.append)
    fields = {f"moon_{number:03d}": [{}] * 4000 for number in range(190)}
    with pytest.raises(InvalidRecord) as refused:
        parse_record(record(1, fields))
    problem = {"code": "too_big", "bound": MAX_RECORD_CHARACTERS}
    assert refused.value.errors == {"record": [problem]}
    assert len(checked) == 42
