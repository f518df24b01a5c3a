"""Phones whose requests of sync, or of other paths, fail as without a connection."""

from __future__ import annotations

import json

from playwright.sync_api import BrowserContext

# Not a route, because with one Playwright pauses every request of a page, not only these.
REJECT = """(paths) => {
  const send = globalThis.fetch;
  globalThis.fetch = (resource, options) => {
    const { pathname } = new URL(resource.url ?? resource, location.href);
    const isBlocked = paths.includes(pathname);
    return isBlocked ? Promise.reject(new TypeError('blocked')) : send(resource, options);
  };
}"""


def block_requests(context: BrowserContext, *paths: str) -> None:
    """Let these requests fail on pages opened later; service workers must be blocked."""
    context.add_init_script(f"({REJECT})({json.dumps(paths)})")


def block_sync(context: BrowserContext) -> None:
    block_requests(context, "/api/sync")
