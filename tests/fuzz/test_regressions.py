"""Regression tests for failures that the fuzz tests have found."""

from __future__ import annotations

import io
import struct
import zipfile
from collections.abc import Iterator

import pytest

from tests.fuzz.server import Server, opened_server
from webapp.archive import parse

ZIP = "application/zip"


@pytest.fixture(scope="module")
def server() -> Iterator[Server]:
    with opened_server() as opened:
        yield opened


def archive(*entries: tuple[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
        made.writestr("book.json", '{"format": 1}')
        for name, content in entries:
            made.writestr(zipfile.ZipInfo(name), content, zipfile.ZIP_DEFLATED)
    return out.getvalue()


def refusal(server: Server, content: bytes) -> str:
    answer = server.hostile.post("/api/import", data=content, content_type=ZIP)
    assert answer.status_code == 422, answer.text
    code: str = answer.json["errors"]["code"]
    return code


def test_zip_entry_without_a_name_is_rejected(server: Server) -> None:
    named = archive(("tastings.csv", b"plums"))
    assert refusal(server, named.replace(b"tastings.csv", b"\0astings.csv")) == "unknown_file"


def test_import_line_without_an_end_is_rejected(server: Server) -> None:
    endless = b"[" * (parse.MAX_LINE_BYTES + 1)
    assert refusal(server, archive(("visit.jsonl", endless))) == "too_long"


def test_oversized_text_is_rejected_unread(server: Server, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(parse, "MAX_TEXT_BYTES", 1_000_000)
    assert refusal(server, archive(("visit.jsonl", bytes(1_000_000)))) == "too_large"


def test_oversized_photo_is_rejected_unread(server: Server) -> None:
    name = "photos/0192f0c1-2a3b-7c4d-8e5f-00000000000b.jpg"
    content = bytes(parse.MAX_PHOTO_BYTES + 1)
    assert refusal(server, archive((name, content))) == "too_large"


@pytest.mark.parametrize("claimed", [0x7FFFFFFF, 0xFFFFFFFF])
def test_oversized_zip_directory_is_rejected_unread(server: Server, claimed: int) -> None:
    end = b"PK\x05\x06" + struct.pack("<HHHHIIH", 0, 0, 1, 1, claimed, 0, 0)
    assert refusal(server, bytes(100) + end) == "too_many_files"


def test_zip64_directory_offset_is_followed(server: Server) -> None:
    end_64 = b"PK\x06\x06" + struct.pack("<QHHIIQQQQ", 44, 45, 45, 0, 0, 9, 9, 2**40, 0)
    place = b"PK\x06\x07" + struct.pack("<IQI", 0, 0, 1)
    end = b"PK\x05\x06" + struct.pack("<HHHHIIH", 0, 0, 9, 9, 0xFFFFFFFF, 0, 0)
    assert refusal(server, end_64 + place + end) == "too_many_files"
    small = end_64.replace(struct.pack("<Q", 2**40), struct.pack("<Q", 90))
    assert refusal(server, small + place + end) == "not_zip"
