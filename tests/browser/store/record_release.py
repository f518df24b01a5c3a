"""Recorder of the database and the requests of a release, for compatibility tests.

Run `python -m tests.browser.store.record_release 1` once for release 1. Never regenerate the file
in tests/releases, because later releases must still read it.
"""

from __future__ import annotations

import gzip
import json
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

from tests.browser.browser_paths import find_browser
from tests.browser.engines import FLAGS, ROOT
from tests.browser.live_server import LiveServer
from tests.browser.store.conftest import books_at

RELEASES = ROOT / "tests" / "releases"
DUMP = """
    const backend = book.db.backendDB();
    const tables = {};
    for (const table of book.db.tables) {
      const { keyPath, indexNames } = backend.transaction(table.name).objectStore(table.name);
      tables[table.name] = { key: keyPath, indexes: [...indexNames], rows: await table.toArray() };
    }
    return { version: backend.version, tables, notes: { ...localStorage } };"""


def main() -> None:
    """Record a session with sent, unsent, edited and deleted records."""
    browser = find_browser()
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        server = LiveServer(Path(folder)).start()
        started = playwright.chromium.launch(executable_path=browser, args=FLAGS)
        try:
            with books_at(started, server.url) as open_book:
                kept = an_evening(open_book())
        finally:
            started.close()
            server.kill()
    file = RELEASES / f"{sys.argv[1]}.json"
    file.write_text(json.dumps(kept, ensure_ascii=False, indent=1) + "\n", encoding="utf-8")


def an_evening(driver):
    requests = []

    def note(route):
        answer = route.fetch()
        body = route.request.post_data_buffer
        packed = route.request.headers.get("content-encoding") == "gzip"
        asked = json.loads(gzip.decompress(body) if packed else body)
        requests.append({"asked": asked, "told": answer.json()})
        route.fulfill(response=answer)

    driver.page.route("**/api/sync", note)
    bottle = driver.save("bottle", {"name": "Invented No. 3", "vintage": 2019, "country": "IT"})
    tasting = driver.save("tasting", {"bottle": bottle, "words": "first", "sip_words": ["lemon:2"]})
    gone = driver.save("visit", {"name": "Invented cellar"})
    driver.sync()
    driver.save("tasting", {"words": "second", "liking": 7}, tasting)
    driver.run("await book.remove('visit', value)", gone)
    driver.sync()
    driver.save("pick", {"bottle": bottle})
    driver.save("tasting", {"words": "third, unsent", "body": 4}, tasting)
    driver.save("tasting", {"bottle": bottle, "words": "new, unsent"})
    return {"profile": driver.run(DUMP), "requests": requests}


if __name__ == "__main__":
    main()
