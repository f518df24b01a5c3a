"""Checks that a picture file has no metadata, from the parts of the file, without decoding it."""

from __future__ import annotations

import struct

# JPEG (ITU-T T.81): the markers needed for decoding, and APP0 (JFIF) and APP14 (colour transform).
_JPEG_CODING = frozenset([*range(0xC0, 0xC8), *range(0xC9, 0xD0), 0xDB, 0xDD, 0xE0, 0xEE])
_START_OF_SCAN = 0xDA
_END = b"\xff\xd9"
# WebP (RFC 9649): the chunks of pixels, transparency and canvas size.
_WEBP_PIXELS = frozenset([b"VP8 ", b"VP8L", b"VP8X", b"ALPH"])


def has_no_metadata(content: bytes) -> bool:
    """Tell whether it is a JPEG or WebP file without metadata, comments or trailing bytes."""
    if content.startswith(b"\xff\xd8"):
        return _is_jpeg_without_metadata(content)
    return (
        content[:4] == b"RIFF" and content[8:12] == b"WEBP" and _is_webp_without_metadata(content)
    )


def _is_jpeg_without_metadata(content: bytes) -> bool:
    at = 2
    while at + 4 <= len(content):
        lead, marker, length = struct.unpack_from(">BBH", content, at)
        if lead != 0xFF:
            return False
        if marker == _START_OF_SCAN:
            # A scan never contains 0xFF 0xD9, so the first end marker must be the end of the file.
            return content.find(_END, at) == len(content) - len(_END)
        if marker not in _JPEG_CODING:
            return False
        at += 2 + length
    return False


def _is_webp_without_metadata(content: bytes) -> bool:
    (size,) = struct.unpack_from("<I", content, 4)
    at = 12
    while at + 8 <= len(content):
        name, length = struct.unpack_from("<4sI", content, at)
        if name not in _WEBP_PIXELS:
            return False
        at += 8 + length + length % 2
    return bool(at == len(content) == size + 8)
