"""Reads a few labels with the worker in Chromium: time and memory of its processes.

The browser's own throttling slows pages only ("Operation is only supported for pages, not
workers"). So each process of the page is stopped for three quarters of the time while a label is
read. The seconds until the answer are those of a processor with a quarter of the speed, if nothing
else runs on the machine.
"""

from __future__ import annotations

import base64
import io
import os
import signal
import statistics
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from PIL import Image
from playwright.sync_api import CDPSession, Page, sync_playwright

from tests.bench.label_photos.score import Count, judge
from tests.browser.browser_paths import find_browser
from tests.browser.engines import FLAGS, SMALL_SCREEN
from tests.browser.live_server import LiveServer

SLOWED = 4
RUN_S = 0.01
HUGE = (6200, 8100)
SEEDS = range(1, 13, 2)
READ = """async (photo) => {
  const { readLabel, storeModel } = await import('/label_photo/index.js');
  await storeModel();
  const bytes = Uint8Array.from(atob(photo), (letter) => letter.charCodeAt(0));
  return readLabel(new Blob([bytes])).then(({ proposals }) => proposals, () => []);
}"""


def renderers(session: CDPSession) -> dict[int, float]:
    """Return the processor seconds of each renderer, by its process id."""
    processes = session.send("SystemInfo.getProcessInfo")["processInfo"]
    return {one["id"]: one["cpuTime"] for one in processes if one["type"] == "renderer"}


def most_memory_mb(process: int) -> float:
    """Return the most memory that a process has had."""
    told = Path(f"/proc/{process}/status").read_text(encoding="utf-8")
    return int(told.partition("VmHWM:")[2].split()[0]) / 1000


@contextmanager
def slowed(processes: list[int]) -> Iterator[None]:
    """Stop processes for three quarters of the time."""
    done = threading.Event()

    def alternate() -> None:
        while not done.wait(RUN_S):
            for one in processes:
                os.kill(one, signal.SIGSTOP)
            time.sleep(RUN_S * (SLOWED - 1))
            for one in processes:
                os.kill(one, signal.SIGCONT)

    thread = threading.Thread(target=alternate)
    thread.start()
    try:
        yield
    finally:
        done.set()
        thread.join()


def encoded(picture: Image.Image) -> str:
    """Return a picture as the page takes it."""
    file = io.BytesIO()
    picture.save(file, "JPEG", quality=85)
    return base64.b64encode(file.getvalue()).decode()


class Cost:
    """Seconds and memory of the labels that were read."""

    def __init__(self) -> None:
        self.right = Count()
        self.cpu_s: list[float] = []
        self.slowed_s: list[float] = []
        self.memory_mb = 0.0

    def read(self, page: Page, session: CDPSession, seed: int) -> None:
        """Read a label at full speed, then again slowed."""
        from tests.bench.label_photos.__main__ import photo_of

        wine, photo = photo_of(seed)
        asked = encoded(photo.picture)
        before = renderers(session)
        proposals: list[dict[str, Any]] = page.evaluate(READ, asked)
        after = renderers(session)
        self.right.add(judge(wine, proposals).alcohol)
        self.cpu_s.append(sum(after[one] - before.get(one, 0) for one in after))
        with slowed(list(after)):
            started = time.monotonic()
            page.evaluate(READ, asked)
            self.slowed_s.append(time.monotonic() - started)
        self.memory_mb = max(self.memory_mb, *(most_memory_mb(one) for one in after))

    def show(self) -> None:
        """Print the table."""
        print(f"{len(self.cpu_s)} labels in Chromium")
        print(f"  alcohol                              {self.right}")
        for name, times in (
            ("processor time", self.cpu_s), ("seconds, slowed four times", self.slowed_s),
        ):  # fmt: skip
            print(f"  {name}: median {statistics.median(times):.1f} s, most {max(times):.1f} s")
        print(f"  memory of the renderer: {self.memory_mb:.0f} MB")


def report_chromium() -> None:
    """Print how many labels are read right, in how many seconds, and the memory for it."""
    cost, chromium = Cost(), find_browser()
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as engines:
        server = LiveServer(Path(folder)).start()
        browser = engines.chromium.launch(executable_path=chromium, args=FLAGS)
        try:
            page = browser.new_context(base_url=server.url, **SMALL_SCREEN).new_page()
            page.goto("/")
            page.wait_for_load_state("networkidle")
            session = browser.new_browser_cdp_session()
            for seed in SEEDS:
                cost.read(page, session, seed)
            cost.show()
            page.evaluate(READ, encoded(Image.new("L", HUGE, 240)))
            most = max(most_memory_mb(one) for one in renderers(session))
            print(f"  memory with a photo of fifty million pixels: {most:.0f} MB")
        finally:
            browser.close()
            server.kill()
