"""The label reader in Chromium, without the app: what it reads, and what it says it cannot do.

One label and one list are read with the true engine; the other tests need no recognition.
"""

from __future__ import annotations

import base64
import io
import math
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageDraw, ImageFont
from playwright.sync_api import Browser, BrowserContext, Page

from tests.browser.engines import SMALL_SCREEN
from tests.browser.label_worker import (
    OUT_OF_MEMORY,
    REMOVE,
    STORE,
    WORKER,
    call,
    open_blank,
    use_worker,
)
from tests.browser.live_server import LiveServer

pytestmark = pytest.mark.browser

ROOT = Path(__file__).parents[2]
FONT = ROOT / "static/vendor/fonts/vollkorn-latin-500-normal.woff2"
LINES = ["Clos Hélène", "Chablis", "2019", "Produit de France", "12,5 % vol", "75 cl"]
LIST = ["Chablis 2019  12,5 % vol  42,00", "Meursault 2020  12 % vol  88,50"]
MODEL = "**/vendor/tesseract/*.gz"
ORIENTATION, TURNED_CLOCKWISE = 0x0112, 6
# The longest edge of a decoded photo, and its brightness at the right edge.
DECODE = """async (photo) => {
  const { decodePhoto } = await import('/label_photo/decode.js');
  const bytes = Uint8Array.from(atob(photo), (letter) => letter.charCodeAt(0));
  const { gray, scale, width, height, barcodes } = await decodePhoto(new Blob([bytes]));
  return { width, height, edge: Math.max(gray.width, gray.height), scale,
    barcodes: Math.max(barcodes.width, barcodes.height), corner: gray.data.at(-1) };
}"""
# The angle at which the worker finds the lines, without recognizing them.
ANGLE = """async (photo) => {
  const { Reader } = await import('/label_photo/reader.js');
  const reader = new Reader();
  const bytes = Uint8Array.from(atob(photo), (letter) => letter.charCodeAt(0));
  const { angle } = await reader.open(new Blob([bytes]));
  reader.close();
  return angle;
}"""
HEIC = b"\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic" + bytes(2000)


def picture(lines: list[str], size: tuple[int, int] = (900, 1200)) -> Image.Image:
    image = Image.new("RGB", size, "#f4efe2")
    font = ImageFont.truetype(str(FONT), 56)
    for at, line in enumerate(lines):
        ImageDraw.Draw(image).text((120, 120 + 150 * at), line, font=font, fill="#221a16")
    return image


def encoded(image: Image.Image, **how: Any) -> bytes:
    file = io.BytesIO()
    image.save(file, "JPEG", quality=90, **how)
    return file.getvalue()


LABEL = encoded(picture(LINES))


@pytest.fixture(scope="module")
def shared(server: LiveServer, browser: Browser) -> Iterator[BrowserContext]:
    """Open the context of all tests of the file."""
    with browser.new_context(
        base_url=server.url, **SMALL_SCREEN, service_workers="block"
    ) as context:
        yield context


@pytest.fixture
def ready(shared: BrowserContext) -> Iterator[Page]:
    """Return an empty page with the model stored, which tests that fetch it remove first."""
    with shared.new_page() as page:
        open_blank(page)
        assert page.evaluate(STORE)["stored"]
        yield page


@pytest.fixture
def bare(ready: Page) -> Page:
    """Return an empty page without the model."""
    ready.evaluate(REMOVE)
    return ready


@pytest.fixture(scope="module")
def read(shared: BrowserContext) -> dict[str, Any]:
    """Read the label from a photo that is stored on its side, as phones store them."""
    exif = Image.Exif()
    exif[ORIENTATION] = TURNED_CLOCKWISE
    turned = picture(LINES).transpose(Image.Transpose.ROTATE_90)
    with shared.new_page() as page:
        open_blank(page)
        assert page.evaluate(STORE)["stored"]
        told: dict[str, Any] = call(page, "readLabel", encoded(turned, exif=exif))
        page.wait_for_function(
            "navigator.locks.query().then(({ held }) => held.every(({ name }) =>"
            " !name.startsWith('label-photo-')))"
        )
        return told


def values(label: dict[str, Any], field: str) -> list[tuple[Any, bool]]:
    return [(one["value"], one["sure"]) for one in label["proposals"] if one["field"] == field]


def test_model_is_stored_with_its_progress(bare: Page) -> None:
    stored = bare.evaluate(STORE)
    assert (stored["code"], stored["stored"], stored["shares"][-1]) == (None, True, 1)
    assert stored["shares"] == sorted(stored["shares"])


def test_label_is_read(read: dict[str, Any]) -> None:
    assert values(read, "label_abv") == [(12.5, True)]
    assert values(read, "vintage") == [(2019, True)]
    assert values(read, "volume_ml") == [(750, True)]
    assert values(read, "country") == [("FR", True)]
    assert values(read, "style")[0][0] == "wht_chablis"
    assert "Clos Hélène" in [line["text"] for line in read["lines"]]


def test_turned_photo_has_the_size_it_is_shown_at(read: dict[str, Any]) -> None:
    assert (read["width"], read["height"]) == (900, 1200)


def test_proposal_has_the_place_of_its_print(read: dict[str, Any]) -> None:
    box = next(one["box"] for one in read["proposals"] if one["field"] == "label_abv")
    assert 110 <= box["x"] <= 130
    assert 715 <= box["y"] <= 790
    assert 200 <= box["width"] <= 320


@pytest.mark.extended
def test_tilted_photo_has_the_angle_of_its_lines(ready: Page) -> None:
    tilted = picture(LINES).rotate(-5, fillcolor="#f4efe2", expand=True)
    angle = ready.evaluate(ANGLE, base64.b64encode(encoded(tilted)).decode())
    assert math.degrees(angle) == pytest.approx(5, abs=0.5)


def test_worker_holds_its_lock_until_the_end(read: dict[str, Any]) -> None:
    """The fixture waits until no lock is held after the reading."""
    assert read["held"] == 1


def test_list_is_read_into_rows(ready: Page) -> None:
    read = call(ready, "readList", encoded(picture(LIST, (1500, 700))))
    rows = [[row[key] for key in ("name", "vintage", "price", "alcohol")] for row in read["rows"]]
    assert rows == [["Chablis", 2019, 42, 12.5], ["Meursault", 2020, 88.5, 12]]
    assert read["text"].splitlines()[1] == "Chablis\t2019\t42\t12.5"


def test_reading_without_the_model_is_refused(bare: Page) -> None:
    assert call(bare, "readLabel", LABEL) == {"code": "no_model"}


@pytest.mark.parametrize(
    "file",
    [
        pytest.param(b"", id="empty", marks=pytest.mark.extended),
        pytest.param(b"not a picture" * 50, id="text", marks=pytest.mark.extended),
        pytest.param(LABEL[:200], id="cut off", marks=pytest.mark.extended),
        pytest.param(HEIC, id="HEIC"),
    ],
)
def test_file_that_is_no_picture_is_refused(ready: Page, file: bytes) -> None:
    assert call(ready, "readLabel", file) == {"code": "not_a_picture"}


@pytest.mark.extended
def test_picture_without_print_is_unreadable(ready: Page) -> None:
    cat = Image.radial_gradient("L").resize((900, 900)).convert("RGB")
    assert call(ready, "readLabel", encoded(cat)) == {"code": "unreadable"}


@pytest.mark.extended
def test_huge_photo_is_decoded_at_a_bounded_size(ready: Page) -> None:
    """Fifty million pixels; the lower half is black."""
    huge = Image.new("L", (6200, 8100), 255)
    huge.paste(0, (0, 4050, 6200, 8100))
    decoded = ready.evaluate(DECODE, base64.b64encode(encoded(huge)).decode())
    assert decoded == {
        "width": 6200, "height": 8100, "edge": 2400, "scale": pytest.approx(2400 / 8100, rel=0.01),
        "barcodes": 1200, "corner": 0,
    }  # fmt: skip


def png(width: int, height: int) -> bytes:
    """Return the header of a PNG, without its pixels."""
    size = width.to_bytes(4, "big") + height.to_bytes(4, "big")
    return bytes.fromhex("89504e470d0a1a0a0000000d49484452") + size + bytes(40)


@pytest.mark.parametrize(
    "file",
    [png(20_000, 20_000), png(7000, 7000)],
    ids=["beyond all cameras", "cannot be decoded"],
)
def test_photo_too_large_for_the_phone_is_refused(ready: Page, file: bytes) -> None:
    assert call(ready, "readLabel", file) == {"code": "too_large"}


def test_reading_can_be_stopped(ready: Page) -> None:
    assert call(ready, "readLabel", LABEL, stops=True) == {"code": "stopped"}


def test_worker_that_cannot_start_fails(ready: Page) -> None:
    ready.route(WORKER, lambda route: route.abort())
    assert call(ready, "readLabel", LABEL) == {"code": "failed"}


def test_worker_that_fails_before_it_is_asked_fails(ready: Page) -> None:
    """The error comes before the first question to the worker, which must not wait for ever."""
    ready.route(WORKER, lambda route: route.abort())
    ready.evaluate(
        """() => {
          const match = caches.match.bind(caches);
          const open = caches.open.bind(caches);
          let failed = Promise.resolve();
          globalThis.Worker = class extends Worker {
            constructor(...given) {
              super(...given);
              failed = new Promise((go) => this.addEventListener('error', go));
            }
          };
          // The model is asked for once before there is a worker.
          caches.match = (...asked) => failed.then(() => match(...asked));
          caches.open = (...asked) => failed.then(() => open(...asked));
        }"""
    )
    assert call(ready, "readLabel", LABEL) == {"code": "failed"}


def test_worker_that_ends_in_the_middle_fails(ready: Page) -> None:
    """A worker that the phone ends tells nobody, but it loses its lock."""
    use_worker(
        ready,
        """self.onmessage = ({ data: { lock } }) => navigator.locks.request(lock, () => {
          self.postMessage({ holds: lock });
          self.close();
          return new Promise(() => {});
        });""",
    )
    assert call(ready, "readLabel", LABEL) == {"code": "failed"}


def test_worker_without_memory_says_so(ready: Page) -> None:
    use_worker(ready, OUT_OF_MEMORY)
    assert call(ready, "readLabel", LABEL) == {"code": "no_room"}


def test_model_without_a_network_is_offline(bare: Page) -> None:
    bare.route(MODEL, lambda route: route.abort())
    stored = bare.evaluate(STORE)
    assert (stored["code"], stored["stored"]) == ("offline", False)


@pytest.mark.parametrize(
    "before",
    [
        "Cache.prototype.put = async () => { throw new DOMException('', 'QuotaExceededError'); };",
        "navigator.storage.estimate = async () => ({ quota: 1e6, usage: 9e5 });",
    ],
    ids=["at_the_write", "before_the_fetch"],
)
def test_full_storage_keeps_no_part_of_the_model(bare: Page, before: str) -> None:
    bare.evaluate(f"() => {{ {before} }}")
    stored = bare.evaluate(STORE)
    assert (stored["code"], stored["stored"]) == ("no_room", False)
    assert not bare.evaluate("caches.keys()")


def test_removed_model_is_gone(ready: Page) -> None:
    ready.evaluate(REMOVE)
    assert ready.evaluate("caches.keys()") == []
