"""An archive that somebody unpacked and packed again."""

from __future__ import annotations

import io

import pytest

from tests.archive.test_roundtrip import HEAD, ID, line, packed
from webapp.archive.parse import InvalidArchive, read_zip

GOOD: dict[str, bytes | str] = {"book.json": HEAD, "tasting.jsonl": line()}


def test_files_of_a_file_manager_are_skipped() -> None:
    added = ("__MACOSX/._book.json", "photos/.DS_Store", "._visit.jsonl", "Thumbs.db")
    archive = read_zip(io.BytesIO(packed({**dict.fromkeys(added, b"\0"), **GOOD})), 1_000_000)
    assert [record["id"] for record in archive.records] == [ID]


@pytest.mark.parametrize(
    "name", ["moon.jsonl", "photos/moon.jpg", "__MACOSX.jsonl", "photos/__MACOSX/a.jpg"]
)
def test_other_unknown_file_is_still_rejected(name: str) -> None:
    with pytest.raises(InvalidArchive) as refused:
        read_zip(io.BytesIO(packed({**GOOD, name: "{}"})), 1_000_000)
    assert refused.value.code == "unknown_file"
