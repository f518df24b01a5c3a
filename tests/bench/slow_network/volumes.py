"""First push and first pull of many notes, against the bytes of a compact form."""

from __future__ import annotations

import gzip
import http.client
import json
import random
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any
from urllib.parse import urlsplit

import brotli
from playwright.sync_api import Browser, Page

from tests.bench.client.phone import slowed
from tests.bench.slow_network.link import Link
from tests.bench.sync.phones import LEFT, SYNC, hold
from tests.bench.sync.servers import DEVICE, Record, notes
from tests.bench.sync.wire import BookSide
from tests.browser.engines import PHONE
from tests.browser.store.conftest import BARE_PAGE, MODULES, OPEN

TAKE = """async (size) => {
  const start = performance.now();
  await (await fetch(`/bytes?size=${size}&n=0`)).arrayBuffer();
  return performance.now() - start;
}"""
GIVE = """async (size) => {
  const body = new Uint8Array(size);
  for (let at = 0; at < size; at += 65536) crypto.getRandomValues(body.subarray(at, at + 65536));
  const start = performance.now();
  await (await fetch('/', { method: 'POST', body })).text();
  return performance.now() - start;
}"""


def typed_notes(count: int) -> list[Record]:
    """Make notes whose fields were entered some seconds apart, so that their clocks differ."""
    draw = random.Random(11)
    made = notes(count)
    for number, record in enumerate(made):
        at = 1_690_000_000_000 + number * 8_640_000
        for name in record["clocks"]:
            at += draw.randrange(3_000, 40_000)
            record["clocks"][name] = f"{at}-0000-{DEVICE}"
    return made


def compact_bytes(records: list[Record], is_push: bool) -> int:
    """Return the bytes of the notes as lists without what repeats, compressed as one text.

    A push is compressed as phones do (gzip 6), a pull as the server does (Brotli 4).

    A note is its id, the time of its first clock, and for each field its number, its value and
    the milliseconds since the clock before.
    """
    names = sorted({name for record in records for name in record["fields"]})
    rows: list[Any] = [names, DEVICE]
    for record in records:
        before = first = min(int(clock[:13]) for clock in record["clocks"].values())
        row: list[Any] = [record["id"].replace("-", ""), first]
        for name, value in record["fields"].items():
            at = int(record["clocks"][name][:13])
            row += [names.index(name), value, at - before]
            before = at
        rows.append(row)
    text = json.dumps(rows, separators=(",", ":"), ensure_ascii=False).encode()
    return len(gzip.compress(text, 6) if is_push else brotli.compress(text, quality=4))


def wire_sync(link: Link, records: list[Record], is_push: bool) -> tuple[float, int]:
    """Return the seconds of a client without storage, and the bytes in the main direction."""
    way = link.up if is_push else link.down
    before = way.sent
    if is_push:
        taken = BookSide(link.url).push(records)
    else:
        taken = BookSide(link.url, "otherphone").pull(len(records))
    return taken, way.sent - before


def wire_floor(link: Link, size: int, is_push: bool) -> float:
    """Return the seconds of one request that sends or fetches so many bytes."""
    line = http.client.HTTPConnection(urlsplit(link.url).netloc, timeout=600)
    body = random.Random(5).randbytes(size) if is_push else None
    start = time.perf_counter()
    line.request("POST" if is_push else "GET", f"/bytes?size={size}", body)
    line.getresponse().read()
    return time.perf_counter() - start


@contextmanager
def slow_page(browser: Browser, link: Link, path: str, slower: int) -> Iterator[Page]:
    """Open a page over the fast line; the caller makes the line slow."""
    link.is_slow = False
    context = browser.new_context(**{**PHONE, "service_workers": "block"})
    context.set_default_timeout(600_000)
    page = context.new_page()
    page.goto(link.url + path)
    yield slowed(page, slower)
    context.close()


def phone_sync(
    browser: Browser, link: Link, unsent: list[Record], whole: int, slower: int
) -> float:
    """Return the seconds of a first sync of a phone that has only `unsent`."""
    with slow_page(browser, link, BARE_PAGE, 1) as page:
        page.evaluate(OPEN, MODULES.split())
        hold(page, "book", unsent)
        slowed(page, slower)
        link.is_slow = True
        taken_ms: float = page.evaluate(SYNC)
        assert page.evaluate(LEFT) == [whole, 0]
        return taken_ms / 1000


def phone_floor(browser: Browser, link: Link, size: int, is_push: bool, slower: int) -> float:
    with slow_page(browser, link, "/", slower) as page:
        link.is_slow = True
        taken_ms: float = page.evaluate(GIVE if is_push else TAKE, size)
        return taken_ms / 1000
