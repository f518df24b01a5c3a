"""CSV cells stay text, whatever character they begin with."""

from __future__ import annotations

import csv
import io
import zipfile
from typing import Any

import pytest
from flask import Flask

from tests.conftest import AppMaker
from webapp.archive.csv import cell, tastings_csv

TASTING = "0192f0c1-2a3b-7c4d-8e5f-60718293a411"


@pytest.mark.parametrize("text", ["=1", "+1", "-1", "@x", "\tx", "\rx", "\nx", "\uff1d1"])
def test_csv_cells_that_start_a_formula_are_escaped(text: str) -> None:
    """Check the characters of OWASP's page on CSV injection."""
    assert cell(text) == "'" + text


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("plum;=1", "plum;'=1"),
        ('a";@x', "a\";'@x"),
        ("a\t+1", "a\t'+1"),
        # A spreadsheet that splits at semicolons starts a row at this line break.
        ("plum\n=1;", "plum\n'=1;"),
        ("plum\r\n@x", "plum\r\n'@x"),
        ("dry; soft\nlong", "dry; soft\nlong"),
    ],
)
def test_csv_text_cannot_inject_a_cell_with_a_formula(text: str, shown: str) -> None:
    assert cell(text) == shown


@pytest.mark.parametrize(
    ("value", "text"),
    [(None, ""), (True, "yes"), (-3, -3), (["a", "~b c"], "a ~b c"), (["=1"], "'=1")],
)
def test_csv_other_values_are_unchanged(value: Any, text: Any) -> None:
    assert cell(value) == text


def synced(app: Flask, value: str) -> Any:
    """Send a tasting of one look_colour and give the response."""
    fields = {"look_colour": value, "tasted_at": "2026-11-25T20:00:00Z"}
    clocks = dict.fromkeys(fields, "1790000000000-0000-aaaaaaaa")
    change = {"kind": "tasting", "id": TASTING, "fields": fields, "clocks": clocks}
    body = {"format": 1, "device": "aaaaaaaa", "cursor": 0, "changes": [change]}
    return app.test_client().post("/api/sync", json=body)


def exported(app: Flask) -> tuple[bytes, dict[str, str]]:
    content = app.test_client().get("/api/export").data
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        text = archive.read("tastings.csv").decode("utf-8-sig")
    (row,) = csv.DictReader(io.StringIO(text, newline=""))
    return content, row


def test_csv_colour_seen_survives_sync_and_import(app: Flask, make_app: AppMaker) -> None:
    assert synced(app, "rose").json["outcomes"][0]["outcome"] == "applied"
    content, row = exported(app)
    assert (row["look_colour"], row["look_hue"]) == ("rose", "")
    other = make_app()
    headers = {"Content-Type": "application/zip"}
    answer = other.test_client().post("/api/import", data=content, headers=headers)
    assert answer.status_code == 200
    assert exported(other)[1] == row


def test_sync_rejects_a_hue_as_colour_seen(app: Flask) -> None:
    assert "look_colour" in synced(app, "red_ruby").text


def test_csv_of_a_merged_bottle_has_the_survivor() -> None:
    bottles: dict[str, dict[str, Any]] = {
        "dup": {"name": "Survivor dup", "merged_into": "kept"},
        "kept": {"name": "Survivor", "label_abv": 14},
    }
    text = tastings_csv([{"id": "t", "bottle": "dup"}], bottles, None, "2026-11-25")
    (row,) = csv.DictReader(io.StringIO(text, newline=""))
    assert (row["bottle_name"], row["bottle_label_abv"]) == ("Survivor", "14")


def test_csv_rows_are_in_the_order_of_their_instants() -> None:
    times = ("2026-05-02T17:00:00Z", "2026-05-02T23:30:00+09:00", "2026-05-02T18:30:00+02:00")
    tastings = [{"id": at, "tasted_at": at} for at in times]
    text = tastings_csv([*tastings, {"id": "undated"}], {}, None, "2026-11-25")
    rows = csv.DictReader(io.StringIO(text, newline=""))
    assert [row["id"] for row in rows] == ["undated", times[1], times[2], times[0]]
