"""The label reader in Chromium: reads a label offline, and says what it cannot do."""

from __future__ import annotations

import base64
import io
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageDraw, ImageFont
from playwright.sync_api import Browser, BrowserContext, Page

from tests.browser.engines import SMALL_SCREEN
from tests.browser.live_server import LiveServer

pytestmark = pytest.mark.browser

ROOT = Path(__file__).parents[2]
FONT = ROOT / "static/vendor/fonts/vollkorn-latin-500-normal.woff2"
LINES = ["Clos Hélène", "Chablis", "2019", "Produit de France", "12,5 % vol", "75 cl"]
MODEL = "**/vendor/tesseract/*.gz"

# Runs a function of the label reader on a photo and returns its result or the code of its error.
CALL = """async ({ name, photo, after }) => {
  const reader = await import('/label_photo/index.js');
  const bytes = Uint8Array.from(atob(photo), (letter) => letter.charCodeAt(0));
  const stop = new AbortController();
  const onProgress = () => after && stop.abort();
  try {
    return await reader[name](new Blob([bytes]), { signal: stop.signal, onProgress });
  } catch (error) {
    return { code: error.code ?? String(error) };
  }
}"""
STORE = """async () => {
  const { modelState, storeModel } = await import('/label_photo/index.js');
  const shares = [];
  const code = await storeModel({ onProgress: (share) => shares.push(share) }).then(
    () => null, (error) => error.code);
  return { code, shares, ...(await modelState()) };
}"""


def picture(lines: list[str], size: tuple[int, int] = (900, 1200)) -> Image.Image:
    image = Image.new("RGB", size, "#f4efe2")
    font = ImageFont.truetype(str(FONT), 56)
    for at, line in enumerate(lines):
        ImageDraw.Draw(image).text((120, 120 + 150 * at), line, font=font, fill="#221a16")
    return image


def encoded(image: Image.Image, **how: Any) -> str:
    file = io.BytesIO()
    image.save(file, "JPEG", quality=90, **how)
    return base64.b64encode(file.getvalue()).decode()


@pytest.fixture(scope="module")
def url(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    server = LiveServer(tmp_path_factory.mktemp("server")).start()
    yield server.url
    server.kill()


@pytest.fixture
def context(url: str, browser: Browser) -> Iterator[BrowserContext]:
    context = browser.new_context(base_url=url, **SMALL_SCREEN, service_workers="block")
    yield context
    context.close()


@pytest.fixture
def page(context: BrowserContext) -> Page:
    page = context.new_page()
    page.goto("/")
    return page


@pytest.fixture
def ready(page: Page) -> Page:
    """Return a page whose model is stored."""
    assert page.evaluate(STORE)["stored"]
    return page


def call(page: Page, name: str, photo: str, *, after: bool = False) -> Any:
    return page.evaluate(CALL, {"name": name, "photo": photo, "after": after})


def values(label: dict[str, Any], field: str) -> list[tuple[Any, bool]]:
    return [(one["value"], one["sure"]) for one in label["proposals"] if one["field"] == field]


def test_label_is_read_without_a_network(url: str, browser: Browser) -> None:
    context = browser.new_context(base_url=url, **SMALL_SCREEN)
    page = context.new_page()
    page.goto("/")
    page.evaluate("navigator.serviceWorker.ready")
    page.wait_for_function("navigator.serviceWorker.controller")
    stored = page.evaluate(STORE)
    assert (stored["code"], stored["stored"], stored["shares"][-1]) == (None, True, 1)
    context.set_offline(True)
    page.reload()
    label = call(page, "readLabel", encoded(picture(LINES)))
    assert values(label, "label_abv") == [(12.5, True)]
    assert values(label, "vintage") == [(2019, True)]
    assert values(label, "volume_ml") == [(750, True)]
    assert values(label, "country") == [("FR", True)]
    assert values(label, "style")[0][0] == "wht_chablis"
    assert "Clos Hélène" in [line["text"] for line in label["lines"]]
    context.close()


def test_proposal_has_the_place_of_its_print(ready: Page) -> None:
    label = call(ready, "readLabel", encoded(picture(LINES)))
    box = next(one["box"] for one in label["proposals"] if one["field"] == "label_abv")
    assert (label["width"], label["height"]) == (900, 1200)
    assert 110 <= box["x"] <= 130
    assert 715 <= box["y"] <= 790
    assert 200 <= box["width"] <= 320


def test_turned_photo_is_read_upright(ready: Page) -> None:
    exif = Image.Exif()
    exif[0x0112] = 6
    turned = picture(LINES).transpose(Image.Transpose.ROTATE_90)
    label = call(ready, "readLabel", encoded(turned, exif=exif))
    assert (label["width"], label["height"]) == (900, 1200)
    assert values(label, "label_abv") == [(12.5, True)]


def test_list_is_read_into_rows(ready: Page) -> None:
    lines = ["Chablis 2019  12,5 % vol  42,00", "Meursault 2020  12 % vol  88,50"]
    read = call(ready, "readList", encoded(picture(lines, (1500, 700))))
    rows = [[row[key] for key in ("name", "vintage", "price", "alcohol")] for row in read["rows"]]
    assert rows == [["Chablis", 2019, 42, 12.5], ["Meursault", 2020, 88.5, 12]]
    assert read["text"].splitlines()[1] == "Chablis\t2019\t42\t\t12.5"


def test_reading_without_the_model_is_refused(page: Page) -> None:
    assert call(page, "readLabel", encoded(picture(LINES))) == {"code": "no_model"}


def test_file_that_is_no_picture_is_refused(ready: Page) -> None:
    text = base64.b64encode(b"not a picture" * 50).decode()
    assert call(ready, "readLabel", text) == {"code": "not_a_picture"}


def test_picture_without_print_is_unreadable(ready: Page) -> None:
    cat = Image.radial_gradient("L").resize((900, 900)).convert("RGB")
    assert call(ready, "readLabel", encoded(cat)) == {"code": "unreadable"}


def test_huge_photo_is_read_at_a_bounded_size(ready: Page) -> None:
    huge = picture(LINES).resize((6000, 8000))
    label = call(ready, "readLabel", encoded(huge))
    assert (label["width"], label["height"]) == (6000, 8000)
    assert values(label, "label_abv") == [(12.5, True)]


def test_photo_beyond_all_cameras_is_refused(ready: Page) -> None:
    header = bytes.fromhex("89504e470d0a1a0a0000000d49484452") + (20_000).to_bytes(4, "big") * 2
    assert call(ready, "readLabel", base64.b64encode(header + bytes(40)).decode()) == {
        "code": "too_large"
    }


def test_reading_can_be_stopped(ready: Page) -> None:
    read = call(ready, "readLabel", encoded(picture(LINES)), after=True)
    assert read == {"code": "stopped"}


def test_worker_that_cannot_start_fails(ready: Page) -> None:
    ready.route("**/label_photo/worker.js", lambda route: route.abort())
    assert call(ready, "readLabel", encoded(picture(LINES))) == {"code": "failed"}


def test_worker_that_fails_before_it_is_asked_fails(ready: Page) -> None:
    """The error comes before the first question to the worker, which must not wait for ever."""
    ready.route("**/label_photo/worker.js", lambda route: route.abort())
    ready.evaluate(
        """() => {
          const match = caches.match.bind(caches);
          const open = caches.open.bind(caches);
          const late = () => new Promise((go) => setTimeout(go, 1500));
          caches.match = (...asked) => late().then(() => match(...asked));
          caches.open = (...asked) => late().then(() => open(...asked));
        }"""
    )
    assert call(ready, "readLabel", encoded(picture(LINES))) == {"code": "failed"}


def test_worker_that_ends_in_the_middle_fails(ready: Page) -> None:
    """A worker that the phone ends tells nobody, but it loses its lock."""
    ends = """self.onmessage = ({ data: { lock } }) => navigator.locks.request(lock, () => {
      self.postMessage({ holds: lock });
      self.close();
      return new Promise(() => {});
    });"""
    ready.route(
        "**/label_photo/worker.js",
        lambda route: route.fulfill(body=ends, content_type="text/javascript"),
    )
    assert call(ready, "readLabel", encoded(picture(LINES))) == {"code": "failed"}


def test_worker_holds_its_lock_until_the_end(ready: Page) -> None:
    locks = """async () => (await navigator.locks.query()).held
      .filter(({ name }) => name.startsWith('label-photo-')).length"""
    asked = {"name": "readLabel", "photo": encoded(picture(LINES)), "after": False}
    ready.evaluate(f"window.read = ({CALL})({json.dumps(asked)}); null")
    ready.wait_for_function(f"({locks})().then((held) => held === 1)")
    assert values(ready.evaluate("window.read"), "label_abv") == [(12.5, True)]
    ready.wait_for_function(f"({locks})().then((held) => held === 0)")


def test_model_without_a_network_is_offline(page: Page) -> None:
    page.route(MODEL, lambda route: route.abort())
    stored = page.evaluate(STORE)
    assert (stored["code"], stored["stored"]) == ("offline", False)


@pytest.mark.parametrize(
    "before",
    [
        "Cache.prototype.put = async () => { throw new DOMException('', 'QuotaExceededError'); };",
        "navigator.storage.estimate = async () => ({ quota: 1e6, usage: 9e5 });",
    ],
    ids=["at_the_write", "before_the_fetch"],
)
def test_full_storage_keeps_no_part_of_the_model(page: Page, before: str) -> None:
    page.evaluate(f"() => {{ {before} }}")
    stored = page.evaluate(STORE)
    assert (stored["code"], stored["stored"]) == ("no_room", False)
    assert not page.evaluate("caches.keys()")


def test_removed_model_is_gone(ready: Page) -> None:
    ready.evaluate("import('/label_photo/index.js').then((reader) => reader.removeModel())")
    assert call(ready, "readLabel", encoded(picture(LINES))) == {"code": "no_model"}
