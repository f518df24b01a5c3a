"""Barcode images for a simulated camera: a video file, or a canvas stream."""

from __future__ import annotations

from pathlib import Path

# GS1 General Specifications, EAN/UPC number sets: modules of each digit in set A. Set B is set A
# mirrored and inverted, set C is set A inverted.
SET_A = (
    "0001101",
    "0011001",
    "0010011",
    "0111101",
    "0100011",
    "0110001",
    "0101111",
    "0111011",
    "0110111",
    "0001011",
)
SETS_OF_FIRST_DIGIT = (
    "AAAAAA",
    "AABABB",
    "AABBAB",
    "AABBBA",
    "ABAABB",
    "ABBAAB",
    "ABBBAA",
    "ABABAB",
    "ABABBA",
    "ABBABA",
)
WIDTH, HEIGHT, MODULE_PX = 640, 480, 5
PAPER, INK, GREY = 235, 20, 128


def modules(gtin: str) -> str:
    """Return the 95 modules of an EAN-13 symbol; 1 is dark."""
    left = "".join(
        SET_A[int(digit)] if letter == "A" else _other_colours(SET_A[int(digit)])[::-1]
        for digit, letter in zip(gtin[1:7], SETS_OF_FIRST_DIGIT[int(gtin[0])], strict=True)
    )
    right = "".join(_other_colours(SET_A[int(digit)]) for digit in gtin[7:])
    return f"101{left}01010{right}101"


def _other_colours(bits: str) -> str:
    return bits.translate(str.maketrans("01", "10"))


def film(gtin: str, file: Path, frames: int = 4) -> Path:
    """Write a YUV4MPEG2 video that shows the symbol on white."""
    bars = bytes(INK if bit == "1" else PAPER for bit in modules(gtin) for _ in range(MODULE_PX))
    side = (WIDTH - len(bars)) // 2
    blank = bytes([PAPER]) * WIDTH
    row = bytes([PAPER]) * side + bars + bytes([PAPER]) * (WIDTH - side - len(bars))
    edge = HEIGHT // 4
    luma = blank * edge + row * (HEIGHT - 2 * edge) + blank * edge
    frame = b"FRAME\n" + luma + bytes([GREY]) * (WIDTH * HEIGHT // 2)
    file.write_bytes(f"YUV4MPEG2 W{WIDTH} H{HEIGHT} F15:1 Ip A1:1 C420\n".encode() + frame * frames)
    return file


def drawing_camera(gtin: str) -> str:
    """Return a page script that makes every camera show the symbol on white."""
    return f"""navigator.mediaDevices.getUserMedia = async () => {{
      const sheet = Object.assign(document.createElement('canvas'), {{
        width: {WIDTH}, height: {HEIGHT} }});
      const pen = sheet.getContext('2d');
      const draw = () => {{
        pen.fillStyle = 'white';
        pen.fillRect(0, 0, {WIDTH}, {HEIGHT});
        pen.fillStyle = 'black';
        [...'{modules(gtin)}'].forEach((bit, at) => {{
          if (bit === '1') {{
            pen.fillRect({MODULE_PX} * (at + 16), {HEIGHT // 4}, {MODULE_PX}, {HEIGHT // 2});
          }}
        }});
      }};
      setInterval(draw, 100);
      return sheet.captureStream();
    }};"""
