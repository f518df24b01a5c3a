"""Pictures are re-encoded without metadata; anything else is rejected."""

from __future__ import annotations

import io
import struct
import zlib
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from tests.examples import examples
from webapp.photos.metadata_check import has_no_metadata
from webapp.photos.sanitize import (
    LONGEST_SIDE_PX,
    PictureError,
    sanitize_image,
    sanitize_unless_clean,
)

MOST_PIXELS = 60_000_000
SECRET = b"41.8902 N 12.4922 E"


def picture(
    form: str = "JPEG", size: tuple[int, int] = (60, 40), mode: str = "RGB", **options: Any
) -> bytes:
    out = io.BytesIO()
    colour = (200, 30, 60, 255)[: len(Image.new(mode, (1, 1)).getbands())]
    Image.new(mode, size, colour).save(out, form, **options)
    return out.getvalue()


def exif(orientation: int = 1) -> Image.Exif:
    result = Image.Exif()
    result[0x0112] = orientation
    result[0x010E] = SECRET.decode()
    result.get_ifd(0x8825)[2] = (41.0, 53.0, 24.7)
    return result


def png_text() -> PngInfo:
    result = PngInfo()
    result.add_text("Comment", SECRET.decode())
    return result


WITH_SECRETS = [
    picture("JPEG", exif=exif()),
    picture("JPEG", comment=SECRET),
    picture("JPEG", xmp=SECRET),
    picture("WEBP", exif=exif().tobytes()),
    picture("WEBP", xmp=SECRET),
    picture("PNG", pnginfo=png_text()),
    picture("PNG", exif=exif()),
    picture("JPEG") + SECRET,
]


@pytest.mark.parametrize("content", WITH_SECRETS)
@pytest.mark.parametrize("clean", [sanitize_image, sanitize_unless_clean])
def test_sanitized_image_has_no_metadata(content: bytes, clean: Any) -> None:
    made = clean(content, MOST_PIXELS)
    assert SECRET not in made.content
    assert b"Exif" not in made.content
    assert not Image.open(io.BytesIO(made.content)).getexif()


def test_image_orientation_is_applied() -> None:
    made = sanitize_image(picture("JPEG", (60, 40), exif=exif(orientation=6)), MOST_PIXELS)
    assert (made.width_px, made.height_px) == (40, 60)


def test_large_image_is_resized() -> None:
    made = sanitize_image(picture("JPEG", (4000, 1000)), MOST_PIXELS)
    assert (made.width_px, made.height_px) == (LONGEST_SIDE_PX, 512)


@pytest.mark.parametrize(
    ("form", "mode", "media_type"),
    [
        ("JPEG", "RGB", "image/jpeg"),
        ("JPEG", "L", "image/jpeg"),
        ("JPEG", "CMYK", "image/jpeg"),
        ("WEBP", "RGBA", "image/webp"),
        ("PNG", "RGBA", "image/webp"),
        ("PNG", "P", "image/webp"),
        ("PNG", "I;16", "image/webp"),
        ("PNG", "1", "image/webp"),
    ],
)
def test_accepted_formats_become_jpeg_or_webp(form: str, mode: str, media_type: str) -> None:
    out = io.BytesIO()
    Image.new(mode, (20, 10)).save(out, form)
    made = sanitize_image(out.getvalue(), MOST_PIXELS)
    assert (made.media_type, made.width_px, made.height_px) == (media_type, 20, 10)


def test_clean_image_of_an_archive_is_unchanged() -> None:
    made = sanitize_image(picture("PNG"), MOST_PIXELS)
    assert sanitize_unless_clean(made.content, MOST_PIXELS) == made


def test_pixel_limit_is_checked_before_decoding() -> None:
    def chunk(name: bytes, body: bytes) -> bytes:
        return (
            struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))
        )

    head = struct.pack(">IIBBBBB", 50_000, 50_000, 8, 2, 0, 0, 0)
    bomb = (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"\0" * 10_000))
    )
    with pytest.raises(PictureError) as refused:
        sanitize_image(bomb + chunk(b"IEND", b""), MOST_PIXELS)
    assert (refused.value.code, refused.value.bound) == ("too_many_pixels", MOST_PIXELS)


@pytest.mark.parametrize("content", WITH_SECRETS)
def test_image_with_extra_data_is_not_clean(content: bytes) -> None:
    assert not has_no_metadata(content)


@pytest.mark.parametrize("form", ["JPEG", "WEBP"])
@pytest.mark.parametrize(
    "options", [{}, {"quality": 30}, {"progressive": True}, {"lossless": True}]
)
def test_clean_image_is_recognized(form: str, options: dict[str, Any]) -> None:
    assert has_no_metadata(picture(form, **options))


@given(st.binary(max_size=60), st.sampled_from([b"", b"\xff\xd8", b"RIFF\x04\0\0\0WEBP"]))
def test_image_metadata_scan_never_fails(content: bytes, start: bytes) -> None:
    assert has_no_metadata(start + content) in (True, False)


@pytest.mark.parametrize("form", ["GIF", "BMP", "TIFF"])
def test_other_image_formats_are_rejected(form: str) -> None:
    with pytest.raises(PictureError) as refused:
        sanitize_image(picture(form), MOST_PIXELS)
    assert refused.value.code == "not_picture"


@settings(max_examples=examples(150, wide=2000))
@given(st.sampled_from(["JPEG", "WEBP", "PNG"]), st.data())
def test_damaged_image_is_accepted_or_rejected(form: str, data: st.DataObject) -> None:
    content = bytearray(picture(form))
    for _ in range(data.draw(st.integers(1, 6))):
        content[data.draw(st.integers(0, len(content) - 1))] = data.draw(st.integers(0, 255))
    damaged = bytes(content[: data.draw(st.integers(0, len(content)))])
    try:
        made = sanitize_image(damaged, MOST_PIXELS)
    except PictureError:
        return
    assert Image.open(io.BytesIO(made.content)).size == (made.width_px, made.height_px)
