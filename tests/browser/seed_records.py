"""Helpers that write records directly into the database of the phone."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page

SAVE = """async ([kind, id, fields]) => {
  const { newId, save } = await import('/store/write.js');
  return save(kind, id ?? newId(), fields);
}"""


# Blocks the next save with an open transaction, to simulate a slow disk.
HOLD_UP = """async () => {
  const { transaction } = await import('/store/database.js');
  let begun;
  globalThis.heldUp = true;
  const beginning = new Promise((resolve) => { begun = resolve; });
  transaction('rw', ['outbox'], async (book) => {
    begun();
    while (globalThis.heldUp) await book.outbox.count();
  });
  await beginning;
}"""
LET_GO = "() => { globalThis.heldUp = false; }"


def put(page: Page, kind: str, fields: dict[str, Any], record_id: str | None = None) -> str:
    """Write fields of a record, or of a new one if no id is given. Return the id."""
    return str(page.evaluate(SAVE, [kind, record_id, fields]))


def kept_here(page: Page) -> None:
    """Wait for writes of local state, because a read transaction runs after them."""
    page.evaluate("""async () => {
      const { transaction } = await import('/store/database.js');
      await transaction('r', ['meta'], (book) => book.meta.count());
    }""")


def address_id(page: Page) -> str:
    """Return the id of the open pour, from the address."""
    return page.url.split("#/pour/")[1].split("/")[0]
