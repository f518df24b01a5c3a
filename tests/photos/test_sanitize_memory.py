"""Many large pictures at once need the memory of only a few."""

from __future__ import annotations

import struct
import subprocess
import sys
import zlib
from pathlib import Path

import pytest
from flask.testing import FlaskClient

from tests.photo_records import push_photo
from webapp.config import DEFAULTS
from webapp.photos.sanitize import AT_ONCE

ROOT = Path(__file__).resolve().parents[2]
ID = "0192f0c1-2a3b-7c4d-8e5f-60718293a4b5"
PNG = {"Content-Type": "image/png"}
# Prints the growth of peak memory in kilobytes while COUNT threads sanitize one picture.
MEASURE = """
import sys, threading
from pathlib import Path
from PIL import Image
from webapp.photos.sanitize import sanitize_image
def peak():
    return int(Path("/proc/self/status").read_text().split("VmHWM:")[1].split()[0])
content = sys.stdin.buffer.read()
Image.init()
threads = [threading.Thread(target=sanitize_image, args=(content, 10**9)) for _ in range(COUNT)]
before = peak()
for one in threads:
    one.start()
for one in threads:
    one.join()
print(peak() - before)
"""


def png(width: int, height: int) -> bytes:
    """Return a black PNG without allocating its pixels."""
    packer = zlib.compressobj(1)
    rows = b"".join(packer.compress(b"\0" * (1 + 3 * width)) for _ in range(height))
    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    parts = [(b"IHDR", header), (b"IDAT", rows + packer.flush()), (b"IEND", b"")]
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
        for name, data in parts
    )


def growth_kb(content: bytes, count: int) -> int:
    done = subprocess.run(
        [sys.executable, "-c", MEASURE.replace("COUNT", str(count))],
        input=content,
        capture_output=True,
        check=True,
        cwd=ROOT,
    )
    return int(done.stdout)


def test_eight_concurrent_images_use_the_memory_of_two() -> None:
    content = png(6_000, 4_000)
    alone = growth_kb(content, 1)
    assert alone > 50_000
    assert growth_kb(content, 8) < (AT_ONCE + 1) * alone


@pytest.mark.parametrize("size", [(6_001, 4_000), (10_000, 6_000), (24_000_001, 1)])
def test_image_larger_than_a_camera_makes_is_rejected(
    client: FlaskClient, size: tuple[int, int]
) -> None:
    push_photo(client, ID)
    answer = client.put(f"/api/photos/{ID}", data=png(*size), headers=PNG)
    values = {"code": "too_many_pixels", "bound": DEFAULTS["MAX_PHOTO_PIXELS"]}
    assert (answer.status_code, answer.json["errors"]) == (422, {"photo": [values]})
