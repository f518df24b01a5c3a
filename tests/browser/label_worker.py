"""What the label reader's worker answered once, and a worker that repeats it in other tests.

Recognition takes seconds of processor time. A file reads its picture once with the true worker;
the tests of its screens get the same answers from a worker that decodes the photo and repeats them.
"""

from __future__ import annotations

import base64
import json
from typing import Any

from playwright.sync_api import Page, Route

# An empty page of the app's origin, which costs less than the app.
BLANK = "/label-reader-blank"
WORKER = "**/label_photo/worker.js"
Readings = list[list[dict[str, Any]]]

# Runs a function of the label reader on a photo; returns its result, or the code of its error, with
# all that the worker answered and how many locks it held at the first progress and at the end.
CALL = """async ({ name, photo, stops }) => {
  const reader = await import('/label_photo/index.js');
  const answers = [];
  const True = globalThis.Worker;
  globalThis.Worker = class extends True {
    constructor(...asked) {
      super(...asked);
      this.addEventListener('message', ({ data }) => data.answer && answers.push(data.answer));
    }
  };
  const locks = async () => (await navigator.locks.query()).held
    .filter(({ name }) => name.startsWith('label-photo-')).length;
  const bytes = Uint8Array.from(atob(photo), (letter) => letter.charCodeAt(0));
  const stop = new AbortController();
  let held = null;
  const onProgress = () => {
    held ??= locks();
    if (stops) stop.abort();
  };
  try {
    const photoFile = new Blob([bytes]);
    const result = await reader[name](photoFile, { signal: stop.signal, onProgress });
    return { ...result, held: await held, readings: answers.filter(Array.isArray) };
  } catch (error) {
    return { code: error.code ?? String(error) };
  } finally {
    globalThis.Worker = True;
  }
}"""
STORE = """async () => {
  const { modelState, storeModel } = await import('/label_photo/index.js');
  const shares = [];
  const code = await storeModel({ onProgress: (share) => shares.push(share) }).then(
    () => null, (error) => error.code);
  return { code, shares, ...(await modelState()) };
}"""
REMOVE = "async () => (await import('/label_photo/index.js')).removeModel()"
REPEATS = """
import { decodePhoto } from '/label_photo/decode.js';
const readings = %s;
self.onmessage = async ({ data: { type, photo, lock } }) => {
  if (type === 'read') return self.postMessage({ answer: readings.shift() ?? [] });
  navigator.locks.request(lock, () => new Promise(() => {}));
  try {
    const { width, height, barcodes } = await decodePhoto(photo);
    self.postMessage({ answer: { width, height, barcodes, lines: readings[0].length } });
  } catch ({ code }) {
    self.postMessage({ error: { code } });
  }
};
"""
# Takes the photo and never answers.
WAITS = "self.onmessage = () => {};"
# The engine cannot get the memory that it asks for.
OUT_OF_MEMORY = """
import '/label_photo/worker.js?true';
WebAssembly.instantiate = async () => {
  throw new RangeError('WebAssembly.instantiate(): Out of memory: Cannot allocate Wasm memory');
};
"""


def open_blank(page: Page) -> None:
    """Open an empty page of the server's origin."""
    page.route(f"**{BLANK}", lambda route: route.fulfill(content_type="text/html", body="<p>"))
    page.goto(BLANK)


def call(page: Page, name: str, photo: bytes, *, stops: bool = False) -> Any:
    """Read a photo with the modules of the label reader."""
    encoded = base64.b64encode(photo).decode()
    return page.evaluate(CALL, {"name": name, "photo": encoded, "stops": stops})


def use_worker(page: Page, body: str) -> None:
    """Replace the worker of the label reader."""

    def answer(route: Route) -> None:
        route.fulfill(body=body, content_type="text/javascript")

    page.route(WORKER, answer)


def repeat(page: Page, readings: Readings) -> None:
    """Let the worker give these answers for whatever photo it gets."""
    use_worker(page, REPEATS % json.dumps(readings))
