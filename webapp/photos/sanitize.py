"""Pictures made safe: decoded within limits and written anew, without any metadata."""

from __future__ import annotations

import hashlib
import io
import threading
import warnings
from dataclasses import dataclass

from PIL import Image, ImageOps, UnidentifiedImageError

from webapp.photos.metadata import has_no_metadata

ACCEPTED = ("JPEG", "WEBP", "PNG")
LONGEST_SIDE_PX = 2048
QUALITY = 85
# A picture of 24 megapixels takes up to 200 MB while it is worked on: two at once in a process.
AT_ONCE = 2
_turn = threading.BoundedSemaphore(AT_ONCE)
SUFFIXES = {"image/jpeg": ".jpg", "image/webp": ".webp"}


class PictureError(ValueError):
    """`code` is not_picture or too_many_pixels (then `bound` is the number of pixels)."""

    def __init__(self, code: str, bound: int | None = None) -> None:
        super().__init__(code)
        self.code = code
        self.bound = bound


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture as it is kept."""

    content: bytes
    media_type: str
    width_px: int
    height_px: int

    @property
    def sha256(self) -> str:
        return hashlib.sha256(self.content).hexdigest()

    def facts(self) -> dict[str, str | int]:
        """Describe the picture as the table and the API do, without its content."""
        return {
            "sha256": self.sha256,
            "media_type": self.media_type,
            "width_px": self.width_px,
            "height_px": self.height_px,
            "bytes": len(self.content),
        }


def sanitize_image(content: bytes, max_pixels: int) -> Picture:
    """The picture turned upright, at most 2048 px long, without position, camera or comments.

    JPEG stays JPEG; the rest becomes WebP. Raises PictureError.
    """
    with _turn:
        return _sanitized(content, max_pixels)


def _sanitized(content: bytes, max_pixels: int) -> Picture:
    image = _open(content, max_pixels)
    try:
        # Made small first: turned at its full size there would be two of it.
        image.thumbnail((LONGEST_SIDE_PX, LONGEST_SIDE_PX))
        ImageOps.exif_transpose(image, in_place=True)
        return _encode(image, "JPEG" if _is_jpeg(content) else "WEBP")
    except (OSError, ValueError, SyntaxError, MemoryError):
        raise PictureError("not_picture") from None


def sanitize_unless_clean(content: bytes, max_pixels: int) -> Picture:
    """A picture from an export: as it is when it is clean already, so that its bytes come back."""
    with _turn:
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
    return image


def _is_jpeg(content: bytes) -> bool:
    return content[:3] == b"\xff\xd8\xff"


def _encode(image: Image.Image, form: str) -> Picture:
    out = io.BytesIO()
    flat = form == "JPEG" or not image.has_transparency_data
    plain = image.convert("RGB" if flat else "RGBA")
    # Pillow writes back what it read: comment, position, camera. An empty list has none of it.
    plain.info = {}
    plain.save(out, form, quality=QUALITY, optimize=True)
    media_type = "image/jpeg" if form == "JPEG" else "image/webp"
    return Picture(out.getvalue(), media_type, *plain.size)
