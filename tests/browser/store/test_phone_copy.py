"""The copy that the phone makes without the server, and the import of a copy by a button."""

from __future__ import annotations

import base64
import io
import json
import urllib.request
import zipfile
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import Locator, Page, expect

from tests.browser.any_page import fact
from tests.browser.store.test_export_button import command

pytestmark = pytest.mark.browser

FILL = """async (picture) => {
  const { newId, remove, save } = await import('/store/write.js');
  const { addPhoto } = await import('/photos/photos.js');
  const { settingsId } = await import('/store/record.js');
  const bottle = await save('bottle', newId(), { name: 'Vale do Corvo', vintage: 2019 });
  const tasting = await save('tasting', newId(),
    { bottle, words: 'plum \\u{1f347}\\nand "tar"', liking: 7, faults: ['brett:1'],
      moon: { new: [1, 2.5] } });
  await save('tasting', tasting, { liking: null });
  await remove('visit', await save('visit', newId(), { name: 'gone' }));
  await save('settings', settingsId, { currency: 'EUR' });
  const bytes = Uint8Array.from(atob(picture), (letter) => letter.charCodeAt(0));
  const photo = await addPhoto({ tasting }, new Blob([bytes]));
  return { bottle, tasting, photo };
}"""
SEND = """async () => {
  await (await import('/sync/index.js')).syncNow();
  await (await import('/photos/upload.js')).uploadPhotos();
}"""
FORGET = "async (id) => (await import('/store/database.js')).db.photo_bytes.delete(id)"
WRITE = "async ([id, fields]) => (await import('/store/write.js')).save('tasting', id, fields)"
REMOVE = "async (id) => (await import('/store/write.js')).remove('tasting', id)"
OTHER = "01900000-0000-7000-8000-0000000000aa"


def picture() -> str:
    out = io.BytesIO()
    Image.linear_gradient("L").convert("RGB").save(out, "JPEG")
    return base64.b64encode(out.getvalue()).decode()


def fill(page: Page) -> dict[str, str]:
    filled: dict[str, str] = page.evaluate(FILL, picture())
    return filled


def copied(page: Page, target: Path) -> Path:
    """Make a copy on the phone and save it to `target`."""
    page.evaluate("location.hash = '#/settings'")
    with page.expect_download() as download:
        page.get_by_role("button", name="Make a copy on this phone").click()
    download.value.save_as(target)
    return target


def records_of(path: Path) -> dict[str, list[Any]]:
    """Return the parsed records of an archive by file, and the sizes of its pictures.

    The server encodes pictures anew, to remove what a phone may have left in them.
    """
    with zipfile.ZipFile(path) as archive:
        assert archive.testzip() is None
        texts = [n for n in archive.namelist() if n.endswith(".jsonl") and n != "revisions.jsonl"]
        found: dict[str, list[Any]] = {
            name: [json.loads(line) for line in archive.read(name).splitlines()] for name in texts
        }
        pictures = [name for name in archive.namelist() if name.startswith("photos/")]
        sizes = {name: [Image.open(io.BytesIO(archive.read(name))).size] for name in pictures}
        return found | sizes


def test_phone_copy_equals_the_export_record_by_record(taster, tmp_path):
    page = taster.page
    fill(page)
    page.evaluate(SEND)
    page.evaluate("location.hash = '#/settings'")
    expect(page.get_by_role("button", name="Make a copy on this phone")).to_be_visible()
    page.evaluate("async () => { await import('/archive/write_archive.js'); }")
    taster.page.context.set_offline(True)
    mine = records_of(copied(page, tmp_path / "mine.zip"))
    taster.page.context.set_offline(False)
    with urllib.request.urlopen(f"{taster.server.url}/api/export", timeout=60) as answer:
        (tmp_path / "server.zip").write_bytes(answer.read())
    assert mine == records_of(tmp_path / "server.zip")
    assert len(mine) == 6


def test_phone_copy_imports_into_an_empty_server(taster, tmp_path):
    page = taster.page
    fill(page)
    mine = copied(page, tmp_path / "mine.zip")
    with zipfile.ZipFile(mine) as archive:
        assert b"Vale do Corvo" in archive.read("tastings.csv")
    empty, again = tmp_path / "other" / "book.sqlite", tmp_path / "again.zip"
    assert command(empty, "db", "upgrade")[0] == 0
    result = command(empty, "import", str(mine))
    assert result == (0, "New: 5 records, 0 earlier values, 1 photos\n")
    assert command(empty, "export", str(again))[0] == 0
    assert records_of(again) == records_of(mine)


@pytest.mark.extended
def test_phone_copy_tells_which_photos_are_missing(taster, tmp_path):
    page = taster.page
    filled = fill(page)
    page.evaluate(FORGET, filled["photo"])
    mine = records_of(copied(page, tmp_path / "mine.zip"))
    expect(page.get_by_text("1 photo is only in your backup")).to_be_visible()
    assert not [name for name in mine if name.startswith("photos/")]
    assert len(mine["photo.jsonl"]) == 1


def choose(page: Page, file: Path) -> None:
    page.get_by_label("Choose a copy to add").set_input_files(file)


def preview(page: Page) -> Locator:
    return page.get_by_role("status", name="What will happen")


def figure(page: Page, name: str) -> Locator:
    return fact(preview(page), name)


def other_archive(tmp_path: Path, known: str) -> Path:
    """Write an archive of one new tasting and of one that the phone has."""
    clock = "1700000000000-0000-bbbbbbbb"
    bottle = {"id": OTHER, "fields": {"name": "Colle Rosso"}, "clocks": {"name": clock}}
    tastings = [
        {"id": id_, "fields": fields, "clocks": dict.fromkeys(fields, clock)}
        for id_, fields in (
            (OTHER, {"bottle": OTHER, "liking": 4, "tasted_at": "2024-05-02T18:00:00Z"}),
            (known, {"place": "Cellar", "words": "older"}),
        )
    ]
    path = tmp_path / "other.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("book.json", json.dumps({"format": 1, "owner_name": "Ada"}))
        archive.writestr("bottle.jsonl", json.dumps(bottle) + "\n")
        archive.writestr("tasting.jsonl", "\n".join(map(json.dumps, tastings)))
    return path


def test_import_says_what_will_happen_and_then_adds(taster, tmp_path):
    page = taster.page
    filled = fill(page)
    page.evaluate(SEND)
    page.evaluate("location.hash = '#/settings'")
    choose(page, other_archive(tmp_path, filled["tasting"]))
    expect(figure(page, "New, will be added")).to_have_text("1 note")
    expect(figure(page, "Already here")).to_have_text("1 note")
    expect(preview(page)).to_contain_text("Ada")
    expect(preview(page).locator("summary")).to_have_text(
        ["See the new ones", "See those already here"]
    )
    preview(page).locator("summary").first.click()
    expect(preview(page).get_by_role("listitem").first).to_contain_text("Colle Rosso")
    tasting = "async (id) => (await (await import('/store/queries.js')).tasting(id))?.fields"
    assert page.evaluate(tasting, OTHER) is None
    page.get_by_role("button", name="Add to my notes").click()
    expect(page.get_by_text("1 note added.")).to_be_visible()
    expect(preview(page)).to_have_count(0)
    assert page.evaluate(tasting, OTHER)["liking"] == 4
    merged = page.evaluate(tasting, filled["tasting"])
    assert merged["place"] == "Cellar"
    assert merged["words"].startswith("plum")


@pytest.mark.extended
def test_import_counts_notes_that_were_deleted_here(taster, tmp_path):
    page = taster.page
    filled = fill(page)
    mine = copied(page, tmp_path / "mine.zip")
    choose(page, mine)
    expect(figure(page, "Already here")).to_have_text("1 note")
    expect(figure(page, "Photos in the copy")).to_have_text("1")
    page.evaluate(REMOVE, filled["tasting"])
    choose(page, mine)
    expect(figure(page, "Deleted here")).to_have_text("1 note")
    page.get_by_role("button", name="Don’t add").click()
    expect(preview(page)).to_have_count(0)


@pytest.mark.extended
def test_import_rejects_another_file(taster, tmp_path):
    page, path = taster.page, tmp_path / "file.zip"
    page.evaluate("location.hash = '#/settings'")
    alert = page.get_by_role("alert")
    for content, value in (
        ({"notes.txt": "plum"}, "isn’t a copy of notes"),
        ({"book.json": '{"format": 2}'}, "can’t read this copy"),
        ({"book.json": "plum"}, "isn’t a copy of notes"),
    ):
        with zipfile.ZipFile(path, "w") as archive:
            for name, text in content.items():
                archive.writestr(name, text)
        choose(page, path)
        expect(alert).to_contain_text(value)
        expect(preview(page)).to_have_count(0)


def test_second_import_of_a_copy_adds_nothing(taster, tmp_path):
    page = taster.page
    fill(page)
    page.evaluate(SEND)
    mine = copied(page, tmp_path / "mine.zip")
    choose(page, mine)
    expect(preview(page)).not_to_contain_text("me,")
    page.get_by_role("button", name="Add to my notes").click()
    expect(page.get_by_text("Nothing to add: all of this copy is here already.")).to_be_visible()
    expect(page.get_by_text("Nothing to add")).to_be_in_viewport()


def test_damaged_copy_is_known_before_it_is_added(taster, tmp_path):
    page, path = taster.page, tmp_path / "file.zip"
    fill(page)
    whole = copied(page, tmp_path / "mine.zip").read_bytes()
    with zipfile.ZipFile(tmp_path / "mine.zip") as archive:
        at = archive.getinfo("tasting.jsonl").header_offset
    for content in (
        whole[: len(whole) // 2],
        whole[:-30],
        whole[:at] + bytes(60) + whole[at + 60 :],
        whole[: at + 60] + bytes(60) + whole[at + 120 :],
    ):
        path.write_bytes(content)
        choose(page, path)
        expect(page.get_by_role("alert")).to_have_text(
            "This copy is damaged or incomplete. Nothing was added."
        )
        expect(preview(page)).to_have_count(0)


@pytest.mark.extended
def test_import_of_a_table_says_where_it_belongs(taster, tmp_path):
    path = tmp_path / "wines.csv"
    path.write_text("Name,Vintage\nTorre Quarzo,2019\n", encoding="utf-8")
    taster.page.evaluate("location.hash = '#/settings'")
    choose(taster.page, path)
    expect(taster.page.get_by_role("alert")).to_contain_text("This is a spreadsheet.")


@pytest.mark.extended
def test_import_rejects_a_file_that_is_no_zip(taster, tmp_path):
    path = tmp_path / "file.zip"
    path.write_bytes(b"plums" * 1000)
    taster.page.evaluate("location.hash = '#/settings'")
    choose(taster.page, path)
    expect(taster.page.get_by_role("alert")).to_contain_text("isn’t a copy of notes")
    expect(preview(taster.page)).to_have_count(0)


@pytest.mark.extended
def test_import_without_a_server_says_so(taster, tmp_path):
    page = taster.page
    filled = fill(page)
    page.evaluate("location.hash = '#/settings'")
    choose(page, other_archive(tmp_path, filled["tasting"]))
    expect(preview(page)).to_be_visible()
    taster.page.context.set_offline(True)
    page.get_by_role("button", name="Add to my notes").click()
    expect(page.get_by_role("alert")).to_contain_text("no connection")
    expect(preview(page)).to_be_visible()
