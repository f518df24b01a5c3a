"""Reads a few labels with the worker in Chromium: processor time and memory of its processes."""

from __future__ import annotations

import base64
import io
import statistics
import tempfile
from pathlib import Path
from typing import Any

from playwright.sync_api import CDPSession, sync_playwright

from tests.bench.label_photos.score import Count, judge
from tests.browser.browser_paths import find_browser
from tests.browser.engines import FLAGS, SMALL_SCREEN
from tests.browser.live_server import LiveServer

SLOWED = 4
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


def report_chromium() -> None:
    """Print how many labels are read right, and in how many seconds."""
    from tests.bench.label_photos.__main__ import photo_of

    right, times, memory = Count(), [], 0.0
    chromium = find_browser()
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as engines:
        server = LiveServer(Path(folder)).start()
        browser = engines.chromium.launch(executable_path=chromium, args=FLAGS)
        try:
            page = browser.new_context(base_url=server.url, **SMALL_SCREEN).new_page()
            page.goto("/")
            page.wait_for_load_state("networkidle")
            session = browser.new_browser_cdp_session()
            for seed in SEEDS:
                wine, photo = photo_of(seed)
                file = io.BytesIO()
                photo.picture.save(file, "JPEG", quality=85)
                before = renderers(session)
                proposals: list[dict[str, Any]] = page.evaluate(
                    READ, base64.b64encode(file.getvalue()).decode()
                )
                after = renderers(session)
                right.add(judge(wine, proposals).alcohol)
                times.append(sum(after[one] - before.get(one, 0) for one in after))
                memory = max(memory, *(most_memory_mb(one) for one in after))
        finally:
            browser.close()
            server.kill()
    median, most = statistics.median(times), max(times)
    print(f"{len(SEEDS)} labels in Chromium")
    print(f"  alcohol                              {right}")
    print(f"  processor time: median {median:.1f} s, most {most:.1f} s")
    print(f"  slowed four times: median {SLOWED * median:.1f} s, most {SLOWED * most:.1f} s")
    print(f"  memory of the renderer: {memory:.0f} MB")
