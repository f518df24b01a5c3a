"""An archive that somebody unpacked, and packed again."""

from __future__ import annotations

import errno
import io
import os
from pathlib import Path

import pytest

from tests.archive.test_roundtrip import HEAD, ID, line, packed
from webapp.archive.parse import InvalidArchive, read_folder, read_zip

GOOD: dict[str, bytes | str] = {"book.json": HEAD, "tasting.jsonl": line()}


def test_files_of_a_file_manager_are_skipped() -> None:
    added = ("__MACOSX/._book.json", "photos/.DS_Store", "._visit.jsonl", "Thumbs.db")
    archive = read_zip(io.BytesIO(packed({**dict.fromkeys(added, b"\0"), **GOOD})), 1_000_000)
    assert [record["id"] for record in archive.records()] == [ID]


@pytest.mark.parametrize(
    "name", ["moon.jsonl", "photos/moon.jpg", "__MACOSX.jsonl", "photos/__MACOSX/a.jpg"]
)
def test_other_unknown_file_is_still_rejected(name: str) -> None:
    with pytest.raises(InvalidArchive) as refused:
        read_zip(io.BytesIO(packed({**GOOD, name: "{}"})), 1_000_000)
    assert refused.value.code == "unknown_file"


def test_folder_around_all_files_is_left_out() -> None:
    inside = {f"second-nose/{name}": text for name, text in GOOD.items()}
    archive = read_zip(io.BytesIO(packed({"__MACOSX/second-nose/._a": b"", **inside})), 1_000_000)
    assert [record["id"] for record in archive.records()] == [ID]


@pytest.mark.parametrize("names", [("a/book.json", "tasting.jsonl"), ("a/book.json", "b/c.jsonl")])
def test_files_of_several_folders_are_rejected(names: tuple[str, ...]) -> None:
    with pytest.raises(InvalidArchive) as refused:
        read_zip(io.BytesIO(packed(dict.fromkeys(names, HEAD))), 1_000_000)
    assert refused.value.code == "unknown_file"


def test_folder_around_an_unpacked_archive_is_left_out(tmp_path: Path) -> None:
    (tmp_path / "second-nose").mkdir()
    for name, content in {**GOOD, "letters.txt": "dear anna"}.items():
        (tmp_path / "second-nose" / name).write_text(content)
    (tmp_path / ".DS_Store").touch()
    assert [record["id"] for record in read_folder(tmp_path).records()] == [ID]


def test_unreadable_folder_of_photos_is_not_left_out(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name, content in GOOD.items():
        (tmp_path / name).write_text(str(content))
    (tmp_path / "photos").mkdir()
    was = os.scandir

    def scandir(path: str) -> object:
        if Path(path) == tmp_path / "photos":
            raise PermissionError(errno.EACCES, "Permission denied", str(path))
        return was(path)

    monkeypatch.setattr(os, "scandir", scandir)
    with pytest.raises(PermissionError):
        read_folder(tmp_path)
