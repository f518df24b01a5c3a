"""A page that opens screens and waits until each has finished loading."""

from __future__ import annotations

import time

from playwright.sync_api import BrowserContext, Page, Request

from tests.screenshots.screens import Screen

UPRIGHT = {"width": 360, "height": 780}
LAST_S = 120

# Tracks pending database transactions and short timers. Playwright tracks requests, because a
# script cannot observe module imports.
PENDING = """() => {
  const LONGEST_MS = 500;
  const pending = new Set();
  globalThis.pendingWork = pending;
  const { transaction } = IDBDatabase.prototype;
  IDBDatabase.prototype.transaction = function (...asked) {
    const work = transaction.apply(this, asked);
    pending.add(work);
    for (const end of ['complete', 'abort']) {
      work.addEventListener(end, () => pending.delete(work));
    }
    return work;
  };
  const { setTimeout: start, clearTimeout: stop } = globalThis;
  const running = new Map();
  const forget = (id) => { pending.delete(running.get(id)); running.delete(id); };
  globalThis.setTimeout = (work, ms = 0, ...rest) => {
    if (ms > LONGEST_MS) return start(work, ms, ...rest);
    const id = start((...given) => { forget(id); work(...given); }, ms, ...rest);
    running.set(id, { toString: () => `timer of ${ms} ms: ${String(work).slice(0, 80)}` });
    pending.add(running.get(id));
    return id;
  };
  globalThis.clearTimeout = (id) => { forget(id); stop(id); };
}"""
# Waits for one idle period without pending work, loading or DOM changes.
QUIET = """async () => {
  const LAST_MS = performance.now() + 120_000;
  const turn = () => new Promise((go) => {
    requestAnimationFrame(() => requestIdleCallback(go, { timeout: 1000 }));
  });
  let changed = false;
  const observer = new MutationObserver(() => { changed = true; });
  observer.observe(document,
    { subtree: true, childList: true, attributes: true, characterData: true });
  const waiting = () => [
    ...pendingWork,
    ...document.fonts.status === 'loading' ? ['a font'] : [],
    ...[...document.images].filter((one) => !one.complete && one.loading !== 'lazy'),
    ...changed ? ['a change'] : [],
  ].map(String);
  do {
    changed = false;
    await turn();
    if (performance.now() > LAST_MS) throw new Error(`never quiet: ${waiting().join(', ')}`);
  } while (waiting().length);
  observer.disconnect();
}"""
# Resolves after the hashchange event.
GO = """(hash) => new Promise((go) => {
  if (location.hash === hash) { go(); return; }
  addEventListener('hashchange', () => go(), { once: true });
  location.hash = hash;
})"""


class Visitor:
    """Navigates within the app, and restarts it after screens that may leave state behind."""

    def __init__(self, context: BrowserContext) -> None:
        self.page: Page = context.new_page()
        self.page.add_init_script(f"({PENDING})()")
        self.page.set_viewport_size(UPRIGHT)
        self._requests: set[Request] = set()
        self._is_clean = False
        self.page.on("request", lambda request: self._requests.add(request))
        self.page.on("requestfinished", lambda request: self._requests.discard(request))
        self.page.on("requestfailed", lambda request: self._requests.discard(request))

    def go_to(self, screen: Screen, *, start: bool = False) -> Page:
        """Open the screen and wait until it is loaded; `start` forces a restart of the app."""
        walks = self._is_clean and not start
        self._is_clean = False
        if walks:
            self.page.evaluate(GO, screen.hash)
            self.settle()
            screen.complete(self.page)
        else:
            self._requests.clear()
            screen.open(self.page)
        self.settle()
        return self.page

    def leave(self, screen: Screen) -> None:
        """Mark the page as unmodified, so that the next screen needs no restart."""
        self._is_clean = not screen.is_touched

    def settle(self) -> None:
        """Wait until no request, transaction, short timer or DOM change is pending."""
        end = time.monotonic() + LAST_S
        self.page.evaluate(QUIET)
        while self._requests:
            if time.monotonic() > end:
                raise AssertionError(f"never answered: {[one.url for one in self._requests]}")
            self.page.evaluate(QUIET)
