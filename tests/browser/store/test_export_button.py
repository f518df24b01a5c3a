"""Export with the button in the app, and import into an empty server with the command."""

from __future__ import annotations

import csv
import io
import os
import tempfile
import zipfile
from pathlib import Path

import pytest

from tests.browser.waiting import LIMIT_S
from tests.forked_process import run_to_end

pytestmark = pytest.mark.browser

FILL = """async () => {
  const { newId, save } = await import('/store/write.js');
  const bottle = await save('bottle', newId(), { name: '=SUM(A1)', producer: 'Cascina Inventata' });
  const id = await save('tasting', newId(), { bottle, words: '-1 plum', liking: 7 });
  await (await import('/sync/index.js')).syncNow();
  await save('tasting', id, { words: '@figs' });
  await (await import('/sync/index.js')).syncNow();
}"""


def command(file, *arguments):
    """Run `secondnose` as a separate process on a database file."""
    given = {**os.environ, "DATABASE_URL": f"sqlite:///{file}"}
    with tempfile.TemporaryDirectory() as folder:
        return run_to_end("webapp", arguments, given, Path(folder) / "output", LIMIT_S)


def lines_of(path):
    with zipfile.ZipFile(path) as archive:
        return {
            name: sorted(archive.read(name).splitlines())
            for name in archive.namelist()
            if name != "book.json"
        }


def test_exported_archive_restores_into_an_empty_server(taster, tmp_path):
    page = taster.page
    page.evaluate(FILL)
    page.evaluate("location.hash = '#/settings'")
    with page.expect_download() as download:
        page.get_by_role("button", name="Save a copy").click()
    mine = tmp_path / "mine.zip"
    download.value.save_as(mine)
    [row] = csv.DictReader(io.StringIO(lines_to_text(mine), newline=""))
    assert (row["bottle_name"], row["words"]) == ("'=SUM(A1)", "'@figs")

    empty = tmp_path / "other" / "book.sqlite"
    assert command(empty, "db", "upgrade")[0] == 0
    result = command(empty, "import", str(mine))
    assert result == (0, "New: 2 records, 1 earlier values, 0 photos\n")
    assert command(empty, "import", str(mine)) == (
        0,
        "New: 0 records, 0 earlier values, 0 photos\n",
    )
    again = tmp_path / "again.zip"
    assert command(empty, "export", str(again))[0] == 0
    exact = lines_of(mine), lines_of(again)
    for lines in exact:
        # `overruled_at` is a sequence number of each server.
        lines["revisions.jsonl"] = [
            one.split(b',"overruled_at"')[0] for one in lines["revisions.jsonl"]
        ]
    assert exact[0] == exact[1]


def lines_to_text(path):
    with zipfile.ZipFile(path) as archive:
        return archive.read("tastings.csv").decode("utf-8-sig")


def test_damaged_archive_is_rejected_with_its_line(tmp_path):
    bad, book = tmp_path / "bad.zip", tmp_path / "book.sqlite"
    with zipfile.ZipFile(bad, "w") as archive:
        archive.writestr("book.json", '{"format": 1}')
        archive.writestr(
            "visit.jsonl",
            '{"id": "0192f0c1-2a3b-7c4d-8e5f-60718293a4b5", "fields": {}, "clocks": {}}\nplums\n',
        )
    assert command(book, "db", "upgrade")[0] == 0
    code, result = command(book, "import", str(bad))
    assert code == 1
    assert "Nothing was imported. visit.jsonl:2: this line is no JSON" in result
    assert command(book, "user", "list") == (0, "1\tme\t0\n")
