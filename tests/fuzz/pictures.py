"""Bodies for PUT /api/photos: damaged pictures and other content."""

from __future__ import annotations

import io
import struct
import zlib
from functools import cache
from random import Random

from hypothesis import strategies as st
from PIL import Image

from tests.fuzz.mutators import of_bytes
from tests.fuzz.server import Server
from tests.photo_records import push_photo
from webapp.photos.metadata_check import has_no_metadata

PHOTO = "0192f0c1-2a3b-7c4d-8e5f-00000000000b"
MEDIA_TYPES = ["image/jpeg", "image/webp", "image/png"]


@cache
def seeds() -> list[bytes]:
    """Return small pictures of every format, including unsupported ones."""
    made = []
    for mode in ("RGB", "L", "RGBA", "P", "CMYK", "1", "I;16"):
        for form in ("JPEG", "PNG", "WEBP", "GIF", "TIFF", "BMP"):
            out = io.BytesIO()
            try:
                Image.new(mode, (9, 7)).save(out, form)
            except (OSError, ValueError, KeyError):
                continue
            made.append(out.getvalue())
    out = io.BytesIO()
    frames = [Image.new("RGB", (9, 7), (shade, 0, 0)) for shade in range(0, 250, 50)]
    frames[0].save(out, "PNG", save_all=True, append_images=frames[1:])
    return [*made, out.getvalue(), b"<svg xmlns='http://www.w3.org/2000/svg'/>", b"%PDF-1.7"]


def png_of(width: int, height: int, packed: bytes, extra: bytes = b"") -> bytes:
    """Return a PNG that claims a size, whatever pixels it has."""
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    parts = [(b"IHDR", head), (b"tEXt", extra), (b"IDAT", packed), (b"IEND", b"")]
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
        for name, data in parts
    )


@cache
def _zeros(size: int) -> bytes:
    return zlib.compress(bytes(size))


sizes = st.one_of(
    st.integers(0, 3000), st.sampled_from([2**16, 2**31 - 1, 2**32 - 1, 7746, 60_000])
)
bombs = st.builds(
    png_of, sizes, sizes, st.sampled_from([0, 1000, 20_000_000]).map(_zeros), st.binary(max_size=40)
)


@st.composite
def pictures(draw: st.DrawFn) -> tuple[bytes, str]:
    """Draw (bytes, media type)."""
    data = bytearray(draw(st.sampled_from(seeds())))
    how = draw(st.integers(0, 40))
    if how == 0:
        data = bytearray(draw(bombs))
    elif how == 1:
        data = bytearray(draw(st.binary(max_size=300)))
    else:
        for _ in range(draw(st.integers(0, 5))):
            at = draw(st.integers(0, max(0, len(data) - 1)))
            cut = draw(st.integers(0, 4))
            data[at : at + cut] = draw(st.binary(max_size=6))
    return bytes(data), draw(st.sampled_from(MEDIA_TYPES))


def mutant(case: tuple[bytes, str], random: Random) -> tuple[bytes, str]:
    """Change a few bytes."""
    return of_bytes(case[0], random), case[1]


def law(server: Server, case: tuple[bytes, str]) -> None:
    """Assert that an accepted picture is returned small, readable and without metadata."""
    data, media_type = case
    push_photo(server.hostile, PHOTO)
    put = server.hostile.put(f"/api/photos/{PHOTO}", data=data, content_type=media_type)
    server.judge(put)
    if put.status_code == 200:
        got = server.hostile.get(f"/api/photos/{PHOTO}")
        assert has_no_metadata(got.data)
        with Image.open(io.BytesIO(got.data)) as image:
            image.load()
            assert max(image.size) <= 2048


def afterwards(server: Server) -> None:
    assert server.witness.get(f"/api/photos/{PHOTO}").status_code == 404
