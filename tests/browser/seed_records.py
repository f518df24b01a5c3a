"""What an evening at the table needs beside the Pour room: records put straight into the book."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page

SAVE = """async ([kind, id, fields]) => {
  const { newId, save } = await import('/store/write.js');
  return save(kind, id ?? newId(), fields);
}"""


# The next save waits for as long as this takes: for a slow disk, say.
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
    """Write fields of a record; a new one without an id. Answers its id."""
    return str(page.evaluate(SAVE, [kind, record_id, fields]))


def kept_here(page: Page) -> None:
    """Wait until what concerns this phone alone is on its disk: a read waits for the writes."""
    page.evaluate("""async () => {
      const { transaction } = await import('/store/database.js');
      await transaction('r', ['meta'], (book) => book.meta.count());
    }""")


def address_id(page: Page) -> str:
    """The id of the pour whose step stands open."""
    return page.url.split("#/pour/")[1].split("/")[0]
