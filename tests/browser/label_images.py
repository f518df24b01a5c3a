"""Rendered photos of an invented label and an invented list, as files or as a camera's film."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

from PIL import Image, ImageDraw, ImageFont

from tests.browser.barcode_images import modules

WIDTH, HEIGHT = 1080, 1440
TABLE, PAPER, INK = (74, 64, 56), (247, 242, 228), (30, 24, 20)
# Text, size in pixels, height of its middle.
LABEL = (
    ("Tenuta Borgolungo", 54, 260),
    ("Sasso Vivo", 120, 430),
    ("Chianti Classico", 70, 570),
    ("2019", 100, 760),
    ("Product of Italy", 40, 900),
    ("13,5% vol      750 ml", 44, 990),
)
LIST = (
    "Sasso Vivo Chianti Classico 2019   42",
    "Ottersbrunn Riesling 2021   31",
    "Weingart Barolo 2017   68",
)
BAR_PX = 4


def label(gtin: str | None = None) -> Image.Image:
    """Draw the label, with a barcode below if there is one."""
    picture = Image.new("RGB", (WIDTH, HEIGHT), TABLE)
    pen = ImageDraw.Draw(picture)
    pen.rectangle((110, 120, WIDTH - 110, HEIGHT - 60), fill=PAPER)
    for text, size, middle in LABEL:
        font = ImageFont.load_default(size)
        pen.text((WIDTH / 2, middle), text, font=font, fill=INK, anchor="mm")
    bits = modules(gtin) if gtin else ""
    left = (WIDTH - len(bits) * BAR_PX) // 2
    for at, bit in enumerate(bits):
        if bit == "1":
            x = left + at * BAR_PX
            pen.rectangle((x, 1110, x + BAR_PX - 1, 1290), fill=INK)
    return picture


def wine_list() -> Image.Image:
    picture = Image.new("RGB", (1300, 900), PAPER)
    pen = ImageDraw.Draw(picture)
    for at, line in enumerate(LIST):
        pen.text((80, 150 + at * 140), line, font=ImageFont.load_default(48), fill=INK)
    return picture


def cat() -> Image.Image:
    """Draw a cat, which has no text."""
    picture = Image.new("RGB", (900, 900), (150, 170, 140))
    pen = ImageDraw.Draw(picture)
    for corners in ([(250, 420), (300, 180), (430, 330)], [(650, 420), (600, 180), (470, 330)]):
        pen.polygon(corners, fill=(90, 80, 74))
    pen.ellipse((230, 280, 670, 720), fill=(90, 80, 74))
    for x in (350, 490):
        pen.ellipse((x, 430, x + 70, 490), fill=(200, 190, 60))
    pen.polygon([(430, 560), (480, 560), (455, 595)], fill=(190, 120, 120))
    return picture


def jpeg(picture: Image.Image) -> dict[str, object]:
    """Return the picture as a file for a file input of Playwright."""
    out = BytesIO()
    picture.save(out, "JPEG", quality=92)
    return {"name": "photo.jpg", "mimeType": "image/jpeg", "buffer": out.getvalue()}


def film(picture: Image.Image, file: Path, frames: int = 2) -> Path:
    """Write a YUV4MPEG2 video that shows the picture."""
    luma, blue, red = picture.convert("YCbCr").split()
    half = (picture.width // 2, picture.height // 2)
    colours = blue.resize(half).tobytes() + red.resize(half).tobytes()
    header = f"YUV4MPEG2 W{picture.width} H{picture.height} F5:1 Ip A1:1 C420\n".encode()
    file.write_bytes(header + (b"FRAME\n" + luma.tobytes() + colours) * frames)
    return file
