"""The installed app: its files open offline, and none of them is a response of the API."""

from __future__ import annotations

import pytest

pytestmark = pytest.mark.browser


def test_everything_opens_offline_after_one_visit(browser, open_book):
    with browser.new_context(viewport={"width": 360, "height": 780}) as context:
        driver = open_book(context)
        driver.install()
        driver.run("await fetch('/api/example'); await book.syncNow()")
        kept = driver.run("""
            const urls = [];
            for (const name of await caches.keys()) {
              for (const request of await (await caches.open(name)).keys()) urls.push(request.url);
            }
            return urls;""")
        assert len(kept) > 40
        assert [url for url in kept if "/api/" in url] == []
        context.set_offline(True)
        assert (
            driver.run("return fetch('/api/example').then(() => 'answered', () => 'no network')")
            == "no network"
        )
        driver.page.goto(f"{driver.url}/any/where")
        assert driver.page.title().endswith("Second Nose")
        loaded = driver.run("""
            const { validatorFor } = await import('/store/validators.js');
            const font = await fetch('/vendor/fonts/vollkorn-latin-500-normal.woff2');
            return [Boolean(validatorFor), font.ok];""")
        assert loaded == [True, True]
