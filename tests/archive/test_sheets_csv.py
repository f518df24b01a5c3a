"""The sheets of led tastings as CSV, in the archive and for one table."""

from __future__ import annotations

import csv
import io
import zipfile

from flask import Flask

from tests.auth.conftest import add_owners, signed_in_client
from tests.group_tasting.evening import Guest, Leader, new_id


def rows(content: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(content.decode("utf-8-sig"), newline="")))


def evening(leader: Leader, app: Flask, name: str) -> None:
    """Let two guests answer for two glasses, the second guest first."""
    leader.set_table([{"name": f"{name} hill", "vintage": 2019}, {"name": "Bank"}], name=name)
    secret = leader.invite()["secret"]
    first, second = (Guest(app.test_client(), who).join(secret=secret) for who in ("=Ada", "Bo"))
    for number in (1, 0):
        second.put(leader.glasses[number], liking=4, words="@formula")
        first.put(leader.glasses[number], liking=8, second_nose_words=["citrus", "~own word"])


def test_table_is_exported_row_by_row(any_app: Flask) -> None:
    add_owners(any_app)
    leader, other = (Leader(signed_in_client(any_app, "anna")) for _ in range(2))
    evening(leader, any_app, "Monday")
    evening(other, any_app, "Tuesday")
    answer = leader.client.get(f"/api/group-tastings/{leader.table}/sheets.csv")
    assert answer.mimetype == "text/csv"
    found = rows(answer.data)
    assert [(row["glass_mark"], row["guest_number"], row["guest_name"]) for row in found] == [
        ("A", "1", "'=Ada"),
        ("A", "2", "Bo"),
        ("B", "1", "'=Ada"),
        ("B", "2", "Bo"),
    ]
    first = found[0]
    assert first["group_tasting_name"] == "Monday"
    assert (first["bottle_name"], first["bottle_vintage"]) == ("Monday hill", "2019")
    assert (first["liking"], first["second_nose_words"]) == ("8", "citrus ~own word")
    assert found[1]["words"] == "'@formula"
    assert not {"guest", "glass", "example"} & first.keys()


def test_archive_has_all_sheets_and_comes_back(any_app: Flask) -> None:
    add_owners(any_app)
    leader = Leader(signed_in_client(any_app, "anna"))
    empty = zipfile.ZipFile(io.BytesIO(leader.client.get("/api/export").data))
    assert "group_tastings.csv" not in empty.namelist()
    evening(leader, any_app, "Monday")
    book = leader.client.get("/api/export").data
    with zipfile.ZipFile(io.BytesIO(book)) as archive:
        assert len(rows(archive.read("group_tastings.csv"))) == 4
    bruno = Leader(signed_in_client(any_app, "bruno"), table=leader.table)
    imported = bruno.client.post("/api/import", data=book, content_type="application/zip")
    assert imported.status_code == 200
    path = f"/api/group-tastings/{leader.table}/sheets.csv"
    assert bruno.client.get(path).data == leader.client.get(path).data
    for kind in ("group_tasting", "glass", "guest", "sheet"):
        assert bruno.records(kind) == leader.records(kind)
    # The guests of Anna's table are no guests of Bruno's.
    assert bruno.invite()["secret"] != leader.invite()["secret"]


def test_sheets_of_an_unknown_table_are_not_found(any_app: Flask) -> None:
    add_owners(any_app)
    anna, bruno = (Leader(signed_in_client(any_app, name)) for name in ("anna", "bruno"))
    evening(anna, any_app, "Monday")
    for table in (anna.table, new_id()):
        answer = bruno.client.get(f"/api/group-tastings/{table}/sheets.csv")
        assert (answer.status_code, answer.json["code"]) == (404, "no_such_table")


def test_sheet_of_a_merged_bottle_has_the_survivor(any_app: Flask) -> None:
    add_owners(any_app)
    leader = Leader(signed_in_client(any_app, "anna"))
    evening(leader, any_app, "Monday")
    leader.put("bottle", leader.bottles[0], merged_into=leader.bottles[1])
    found = rows(leader.client.get(f"/api/group-tastings/{leader.table}/sheets.csv").data)
    assert {row["bottle_name"] for row in found} == {"Bank"}
