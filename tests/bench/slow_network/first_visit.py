"""First visit with an empty browser: until the first field takes a letter and reacts."""

from __future__ import annotations

from dataclasses import dataclass

from playwright.sync_api import Browser, Page

from tests.bench.client.phone import slowed
from tests.bench.slow_network.link import Link
from tests.browser.engines import PHONE

# Types a letter into the first field as soon as there is one, until the page outside it changes.
TYPES = """(() => {
  globalThis.reacted = new Promise((done) => {
    const type = () => {
      const field = document.querySelector('#app input:not([type=range]), #app textarea');
      if (!field) {
        requestAnimationFrame(type);
        return;
      }
      const watch = new MutationObserver(() => {
        watch.disconnect();
        done({ shown_ms, reacted_ms: performance.now() });
      });
      const shown_ms = performance.now();
      const wanted = { childList: true, subtree: true, characterData: true };
      watch.observe(document.getElementById('app'), wanted);
      field.focus();
      document.execCommand('insertText', false, 'x');
    };
    document.addEventListener('DOMContentLoaded', type);
  });
})();"""
LOADED = """async () => {
  const { shown_ms, reacted_ms } = await reacted;
  const entries = performance.getEntriesByType('resource');
  const files = entries.filter((one) => one.startTime < shown_ms).map((one) => ({
    path: new URL(one.name).pathname, bytes: one.encodedBodySize,
    start_ms: one.startTime, end_ms: one.responseEnd,
  }));
  const page = performance.getEntriesByType('navigation')[0].encodedBodySize;
  return { shown_ms, reacted_ms, files, page };
}"""


@dataclass(frozen=True)
class Visit:
    """When the field was there and when it reacted, and the files fetched until then."""

    shown_ms: float
    reacted_ms: float
    page: int
    files: list[dict[str, float | str]]

    @property
    def sizes(self) -> list[int]:
        return [int(one["bytes"]) for one in self.files]


def visit(browser: Browser, link: Link, slower: int, path: str = "/") -> Visit:
    """Open the page at `path` in an empty browser."""
    context = browser.new_context(**PHONE)
    context.add_init_script(TYPES)
    page: Page = slowed(context.new_page(), slower)
    page.goto(link.url + path, wait_until="commit")
    found = page.evaluate(LOADED)
    context.close()
    return Visit(**found)


def bare_path(like: Visit) -> str:
    """Return the path of a bare page with the bytes and requests of `like`."""
    return f"/?page={like.page}&sizes={','.join(map(str, like.sizes))}"
