"""Sanitizes pictures: decodes them within limits and re-encodes them without metadata."""

from __future__ import annotations

import hashlib
import io
import threading
import warnings
from dataclasses import dataclass

from PIL import Image, ImageOps, UnidentifiedImageError

from webapp.photos.jpeg_scans import has_many_scans
from webapp.photos.metadata_check import has_no_metadata

ACCEPTED = ("JPEG", "WEBP", "PNG")
LONGEST_SIDE_PX = 2048
QUALITY = 85
# Cameras write one scan, encoders of progressive files about ten.
MOST_SCANS = 100
# Processing 24 megapixels takes up to 200 MB, so a process works on two pictures at a time.
AT_ONCE = 2
_slots = threading.BoundedSemaphore(AT_ONCE)
SUFFIXES = {"image/jpeg": ".jpg", "image/webp": ".webp"}


class PictureError(ValueError):
    """The picture is rejected; `code` is not_picture or too_many_pixels (`bound` is the limit)."""

    def __init__(self, code: str, bound: int | None = None) -> None:
        super().__init__(code)
        self.code = code
        self.bound = bound


@dataclass(frozen=True, slots=True)
class Picture:
    """A sanitized picture."""

    content: bytes
    media_type: str
    width_px: int
    height_px: int

    @property
    def sha256(self) -> str:
        return hashlib.sha256(self.content).hexdigest()

    def facts(self) -> dict[str, str | int]:
        """Return the values of the picture for the table and the API, without its content."""
        return {
            "sha256": self.sha256,
            "media_type": self.media_type,
            "width_px": self.width_px,
            "height_px": self.height_px,
            "bytes": len(self.content),
        }


def sanitize_image(content: bytes, max_pixels: int) -> Picture:
    """Re-encode a picture: upright, at most 2048 px a side, without metadata.

    JPEG stays JPEG; other formats become WebP. Raises PictureError.
    """
    with _slots:
        return _sanitized(content, max_pixels)


def _sanitized(content: bytes, max_pixels: int) -> Picture:
    image = _open(content, max_pixels)
    try:
        # Resize before rotating, which would need a second copy at full size.
        image.thumbnail((LONGEST_SIDE_PX, LONGEST_SIDE_PX))
        ImageOps.exif_transpose(image, in_place=True)
        return _encode(image, "JPEG" if _is_jpeg(content) else "WEBP")
    except (OSError, ValueError, SyntaxError, MemoryError):
        raise PictureError("not_picture") from None


def sanitize_unless_clean(content: bytes, max_pixels: int) -> Picture:
    """Return an already clean picture unchanged, so that import restores the exported bytes."""
    with _slots:
        return _sanitized_unless_clean(content, max_pixels)


def _sanitized_unless_clean(content: bytes, max_pixels: int) -> Picture:
    image = _open(content, max_pixels)
    if max(image.size) > LONGEST_SIDE_PX or not has_no_metadata(content):
        return _sanitized(content, max_pixels)
    try:
        image.load()
    except (OSError, ValueError, SyntaxError, MemoryError):
        raise PictureError("not_picture") from None
    media_type = "image/jpeg" if image.format == "JPEG" else "image/webp"
    return Picture(content, media_type, *image.size)


def _open(content: bytes, max_pixels: int) -> Image.Image:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            image = Image.open(io.BytesIO(content), formats=ACCEPTED)
    except Image.DecompressionBombError:
        raise PictureError("too_many_pixels", max_pixels) from None
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError):
        raise PictureError("not_picture") from None
    if image.width * image.height > max_pixels:
        raise PictureError("too_many_pixels", max_pixels)
    if _is_jpeg(content) and has_many_scans(content, MOST_SCANS):
        raise PictureError("not_picture")
    return image


def _is_jpeg(content: bytes) -> bool:
    return content[:3] == b"\xff\xd8\xff"


def _encode(image: Image.Image, format_: str) -> Picture:
    out = io.BytesIO()
    flat = format_ == "JPEG" or not image.has_transparency_data
    plain = image.convert("RGB" if flat else "RGBA")
    # Pillow would write the metadata in `info` again, so clear it.
    plain.info = {}
    plain.save(out, format_, quality=QUALITY, optimize=True)
    media_type = "image/jpeg" if format_ == "JPEG" else "image/webp"
    return Picture(out.getvalue(), media_type, *plain.size)
