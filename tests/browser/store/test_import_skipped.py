"""The import of a copy names the notes that it left out."""

from __future__ import annotations

import json
import zipfile

import pytest
from playwright.sync_api import expect

from tests.browser.store.test_phone_copy import SEND, choose

pytestmark = pytest.mark.browser

CLOCK = "1700000000000-0000-bbbbbbbb"
FILL = """async () => {
  const { newId, save } = await import('/store/write.js');
  const bottle = await save('bottle', newId(), { name: 'Vale do Corvo' });
  const many = Object.fromEntries(Array.from({ length: 150 }, (_, place) => [`moon_${place}`, 1]));
  return save('tasting', newId(), { bottle, ...many });
}"""


def test_import_names_the_notes_left_out(taster, tmp_path):
    page = taster.page
    tasting = page.evaluate(FILL)
    page.evaluate(SEND)
    fields = {f"sun_{place}": 1 for place in range(150)}
    row = {"id": tasting, "fields": fields, "clocks": dict.fromkeys(fields, CLOCK)}
    path = tmp_path / "other.zip"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("book.json", json.dumps({"format": 1, "owner_name": "Ada"}))
        archive.writestr("tasting.jsonl", json.dumps(row) + "\n")
    page.evaluate("location.hash = '#/settings'")
    choose(page, path)
    page.get_by_role("button", name="Add to my notes").click()
    alert = page.get_by_role("alert").filter(has_text="1 item wasn’t added")
    expect(alert).to_be_in_viewport()
    expect(page.get_by_text("Nothing to add")).to_have_count(0)
    skipped = page.locator(".import-skipped li")
    expect(skipped).to_contain_text("Vale do Corvo")
    expect(skipped).to_contain_text("This note is too long.")
    expect(skipped.get_by_role("link")).to_have_attribute("href", f"#/pour/{tasting}")
