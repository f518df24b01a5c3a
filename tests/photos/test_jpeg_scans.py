"""A JPEG with far more scans than any encoder writes is rejected before it is decoded."""

from __future__ import annotations

import io
import struct
from typing import Any

import pytest
from PIL import Image

from webapp.photos.jpeg_scans import MOST_SEGMENTS, has_many_scans
from webapp.photos.sanitize import (
    MOST_SCANS,
    PictureError,
    sanitize_image,
    sanitize_unless_clean,
)

MOST_PIXELS = 24_000_000


def segment(marker: int, body: bytes) -> bytes:
    return struct.pack(">BBH", 0xFF, marker, len(body) + 2) + body


def scan(first: int, last: int, data: bytes) -> bytes:
    return segment(0xDA, bytes([1, 1, 0, first, last, 0])) + data


def progressive(scans: int, fill: bytes = b"") -> bytes:
    """Return a grey JPEG of 8 x 8 pixels: a scan of the mean, then empty scans of the rest."""
    table = bytes([1] + [0] * 15)
    return (
        b"\xff\xd8"
        + segment(0xDB, bytes(1) + bytes([1] * 64))
        + segment(0xC2, struct.pack(">BHHB", 8, 8, 8, 1) + bytes([1, 0x11, 0]))
        + segment(0xC4, b"\x00" + table + b"\x00")
        + segment(0xC4, b"\x10" + table + b"\x00")
        + scan(0, 0, b"\x7f")
        + (fill + scan(1, 63, b"\x7f")) * (scans - 1)
        + b"\xff\xd9"
    )


@pytest.mark.parametrize("clean", [sanitize_image, sanitize_unless_clean])
@pytest.mark.parametrize("fill", [b"", b"\xff\xff", b"\xff\x01", b"\xff\xd0"])
def test_jpeg_of_many_scans_is_rejected(clean: Any, fill: bytes) -> None:
    assert clean(progressive(MOST_SCANS, fill), MOST_PIXELS).width_px == 8
    with pytest.raises(PictureError) as refused:
        clean(progressive(MOST_SCANS + 1, fill), MOST_PIXELS)
    assert refused.value.code == "not_picture"


@pytest.mark.parametrize(("options", "scans"), [({}, 1), ({"progressive": True}, 10)])
def test_scans_of_an_encoder_are_counted(options: dict[str, Any], scans: int) -> None:
    out = io.BytesIO()
    thumbnail = Image.Exif()
    thumbnail[0x010E] = "\xff\xda" * MOST_SCANS
    noise = Image.effect_noise((300, 200), 90).convert("RGB")
    noise.save(out, "JPEG", exif=thumbnail, **options)
    film = b"\xff\xda\x00\x08" * (MOST_SCANS + 1)
    content = out.getvalue() + film
    assert not has_many_scans(content, scans)
    assert has_many_scans(content, scans - 1)
    assert sanitize_image(content, MOST_PIXELS).width_px == 300


@pytest.mark.parametrize(
    "content", [b"", b"\xff\xd8\xff", b"\xff\xd8\xff\xda", b"\xff\xd8\xff\xe0\0"]
)
def test_cut_jpeg_has_not_many_scans(content: bytes) -> None:
    assert not has_many_scans(content, 1)


def test_jpeg_of_many_segments_is_rejected_early() -> None:
    assert not has_many_scans(segment(0xFE, b"") * MOST_SEGMENTS, 1)
    assert has_many_scans(segment(0xFE, b"") * (MOST_SEGMENTS + 1), 1)
