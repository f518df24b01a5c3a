"""Content from a signed-in owner is decompressed, parsed and stored within limits, over HTTP."""

from __future__ import annotations

import gzip
import io
import json
import zipfile
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from tests.attacks.servers import BROWSER_KEY, SERVE_FIRST, WORDS, Server, running

ID = "0192f0c1-2a3b-7c4d-8e5f-60718293a4b5"
CLOCK = "1790000000000-0000-aaaaaaaa"
MEGABYTE = 1_000_000


@pytest.fixture(scope="module", params=SERVE_FIRST)
def server(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator:
    folder = tmp_path_factory.mktemp("contents")
    with running(folder, request.param, workers=1) as running_server:
        yield running_server


@pytest.fixture(scope="module")
def anna(server: Server) -> dict[str, str]:
    return server.sign_in("anna")


def sync(server: Server, who: dict[str, str], *changes: dict[str, Any], **more: str) -> Any:
    body = {"format": 1, "device": "aaaaaaaa", "cursor": 0, "changes": changes}
    headers = {"Content-Type": "application/json", **who, **more}
    return server.ask("POST", "/api/sync", json.dumps(body).encode(), **headers)


def peak_mb(server: Server) -> int:
    """Return the highest peak memory of the server's processes."""
    found = [Path(f"/proc/{one}/status").read_text() for one in server.processes()]
    return max(int(text.split("VmHWM:")[1].split()[0]) for text in found) // 1000


def test_gzip_bomb_uses_little_memory(server: Server, anna: dict[str, str]) -> None:
    bomb = gzip.compress(b" " * 200 * MEGABYTE, 9)
    assert len(bomb) < MEGABYTE
    before = peak_mb(server)
    headers = {"Content-Type": "application/json", "Content-Encoding": "gzip", **anna}
    status, result, _ = server.ask("POST", "/api/sync", bomb, **headers)
    assert (status, result["code"]) == (413, "too_large")
    assert peak_mb(server) < before + 100


def test_zip_bomb_uses_little_memory_and_disk(server: Server, anna: dict[str, str]) -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        archive.writestr("book.json", '{"format": 1}')
        with archive.open("tasting.jsonl", "w", force_zip64=True) as entry:
            for _ in range(200):
                entry.write(b" " * MEGABYTE)
    before = peak_mb(server)
    headers = {"Content-Type": "application/zip", **anna}
    status, result, _ = server.ask("POST", "/api/import", out.getvalue(), **headers)
    assert (status, result["errors"]["code"]) == (422, "too_large")
    assert peak_mb(server) < before + 100
    assert server.scratch_bytes() < 10 * MEGABYTE


@pytest.mark.parametrize(("count", "code"), [(101, "too_large"), (99, "not_picture")])
def test_bomb_among_the_photos_uses_little_memory(
    server: Server, anna: dict[str, str], count: int, code: str
) -> None:
    """Each file is within its own limit; their sum may exceed the limit of an import."""
    out = io.BytesIO()
    zeros = bytes(20 * MEGABYTE)
    deflate = zlib.compressobj(1, zlib.DEFLATED, -15)
    packed, crc = deflate.compress(zeros) + deflate.flush(), zlib.crc32(zeros)
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("book.json", '{"format": 1}')
        for number in range(count):
            archive.writestr(f"photos/{ID[:-3]}{number:03x}.jpg", packed)
            # Compressed once for all entries; the directory says so when the archive is closed.
            entry = archive.filelist[-1]
            entry.compress_type, entry.file_size, entry.CRC = zipfile.ZIP_DEFLATED, len(zeros), crc
    assert len(out.getvalue()) < 10 * MEGABYTE
    before = peak_mb(server)
    headers = {"Content-Type": "application/zip", **anna}
    status, result, _ = server.ask("POST", "/api/import", out.getvalue(), **headers)
    assert (status, result["errors"]["code"]) == (422, code)
    assert peak_mb(server) < before + 100
    assert server.scratch_bytes() < 10 * MEGABYTE
    assert [*server.folder.glob("photos/*/*/*")] == []


@pytest.fixture(scope="module")
def large_png() -> bytes:
    """Return a PNG of a few kilobytes that claims 900 million pixels."""
    out = io.BytesIO()
    Image.new("1", (30_000, 30_000)).save(out, "PNG", compress_level=9)
    assert len(out.getvalue()) < MEGABYTE
    return out.getvalue()


@pytest.mark.parametrize("path", ["photo", "import"])
def test_picture_bomb_uses_little_memory(
    server: Server, anna: dict[str, str], large_png: bytes, path: str
) -> None:
    before = peak_mb(server)
    if path == "photo":
        headers = {"Content-Type": "image/png", **anna}
        status, result, _ = server.ask("PUT", f"/api/photos/{ID}", large_png, **headers)
    else:
        book = io.BytesIO()
        with zipfile.ZipFile(book, "w", zipfile.ZIP_DEFLATED) as archive:
            archive.writestr("book.json", '{"format": 1}')
            archive.writestr(f"photos/{ID}.jpg", large_png)
        headers = {"Content-Type": "application/zip", **anna}
        status, result, _ = server.ask("POST", "/api/import", book.getvalue(), **headers)
    assert (status, "too_many_pixels" in json.dumps(result)) == (422, True)
    assert peak_mb(server) < before + 100


def sign_in(server: Server, device_name: str) -> tuple[int, Any, dict[str, str]]:
    body = {"name": "anna", "passphrase": WORDS["anna"], "device_name": device_name}
    headers = {"Content-Type": "application/json", **BROWSER_KEY}
    return server.ask("POST", "/api/sign-in", json.dumps(body).encode(), **headers)


def test_device_name_is_limited_and_one_line(server: Server) -> None:
    status, result, _ = sign_in(server, "x" * 201)
    assert (status, list(result["errors"])) == (400, ["device_name"])
    status, _, headers = sign_in(server, "a\0new\r\n\ud800phone\u202e" + "x" * 150)
    assert status == 200
    who = {"Cookie": headers["Set-Cookie"].split(";")[0], **BROWSER_KEY}
    devices = server.ask("GET", "/api/devices", **who)[1]["devices"]
    (name,) = [one["name"] for one in devices if one["current"]]
    assert name.startswith("a new phone x")
    assert len(name) < 100
    assert name.isprintable()


@pytest.mark.parametrize(
    ("kind", "field", "value", "code"),
    [
        ("tasting", "words", "x" * 100_000, "too_long"),
        ("tasting", "words", "plums\0", "bad_character"),
        ("tasting", "words", "plums\ud800", "bad_character"),
        ("tasting", "moon", ["plums\0"], "bad_character"),
        ("tasting", "moon", {"a\ud800": 1}, "bad_character"),
        ("visit", "triangle_wines", "x" * 251, "too_long"),
        ("bottle", "name", "x" * 100_000, "too_long"),
        ("tasting", "moon", "x" * 100_000, "too_long"),
    ],
)
def test_free_text_length_is_limited(
    server: Server, anna: dict[str, str], kind: str, field: str, value: Any, code: str
) -> None:
    change = {"kind": kind, "id": ID, "fields": {field: value}, "clocks": {field: CLOCK}}
    status, result, _ = sync(server, anna, change)
    (outcome,) = result["outcomes"]
    assert (status, outcome["outcome"]) == (200, "refused")
    assert outcome["errors"][field][0]["code"] == code
    assert result["changes"] == []


def test_field_count_is_limited_over_many_pushes(server: Server, anna: dict[str, str]) -> None:
    outcomes = []
    for step in range(50):
        fields = {f"moon_{step}_{one}": "x" * 100 for one in range(190)}
        change = {
            "kind": "visit",
            "id": ID,
            "fields": fields,
            "clocks": dict.fromkeys(fields, CLOCK),
        }
        _, result, _ = sync(server, anna, change)
        outcomes.append(result["outcomes"][0]["outcome"])
    assert outcomes == ["applied"] + ["refused"] * 49
