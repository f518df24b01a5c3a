"""The results that guests receive: as on the leader's page, and not before they are opened."""

from __future__ import annotations

import random
from statistics import median
from typing import Any

import pytest
from flask import Flask

from tests.group_tasting.evening import Guest, Leader, moment, new_id, now_ms
from tests.reference.rules.ranking import friedman
from webapp.group_tasting.closing import grace_ms
from webapp.group_tasting.ids import sheet_id
from webapp.group_tasting.results import results
from webapp.group_tasting.table import Fields, Table

GLASSES = ("a", "b", "c", "d")
WHEN = "2026-11-28T22:00:00+00:00"


def table_of(likings: list[list[int | None]], **head: Any) -> Table:
    """Return a table with a row of likings for each guest; the last glass repeats the first."""
    glasses: dict[str, Fields] = {
        one: {"id": one, "position": at + 1, "bottle": GLASSES[at % 3], "discussed_at": WHEN}
        for at, one in enumerate(GLASSES)
    }
    guests = {f"g{at}": {"id": f"g{at}", "number": at + 1} for at in range(len(likings))}
    sheets = {
        sheet_id(guest, glass): {"liking": liking}
        for guest, row in zip(guests, likings, strict=True)
        for glass, liking in zip(GLASSES, row, strict=True)
        if liking is not None
    }
    head = {"id": "t", "results_at": WHEN, **head}
    return Table(head, glasses, guests, sheets=sheets)


def order_of(table: Table) -> list[str]:
    found = results(table)
    assert found is not None
    return [one["glass"] for one in found["order"]]


def test_results_order_is_by_median_then_rank_sum() -> None:
    draw = random.Random(7)
    for _ in range(50):
        rows = [[draw.randint(1, 9) for _ in GLASSES] for _ in range(5)]
        sums = dict(zip(GLASSES, friedman(rows)["rank_sums"], strict=True))
        medians = dict(zip(GLASSES, map(median, zip(*rows, strict=True)), strict=True))
        found = [(medians[one], sums[one]) for one in order_of(table_of(rows))]
        assert found == sorted(found, reverse=True)


def test_results_order_agrees_with_the_shown_figure() -> None:
    # The mean and the rank sum of the second glass are higher, but its middle rating is lower.
    rows: list[list[int | None]] = [[7, 8, 1, 1], [7, 8, 1, 1], [7, 6, 1, 1], [7, 6, 1, 1]]
    rows.append([1, 6, 1, 1])
    assert order_of(table_of(rows))[:2] == ["a", "b"]


def test_results_of_a_latecomer_exclude_nobody() -> None:
    # The fifth guest rated the last glass only, which thus has no rank, and comes last.
    rows: list[list[int | None]] = [[3, 8, 5, None]] * 4 + [[None, None, None, 9]]
    late = results(table_of(rows))
    assert late is not None
    assert [(one["glass"], one["place"]) for one in late["order"]] == [
        ("b", 1), ("c", 2), ("a", 3), ("d", None)
    ]  # fmt: skip
    found = results(table_of([[3, 8, 5, 4], [4, 9, 5, 4], [9, 9, 6, 4]]))
    assert found is not None
    assert found["order"][0] == {"glass": "b", "count": 3, "mean": 8.67, "median": 9, "place": 1}


def test_results_are_without_a_removed_guest() -> None:
    table = table_of([[3, 8, 5, 4], [9, 1, 1, 9]])
    for guest in ("g0", "g1"):
        table.sheets[sheet_id(guest, "d")]["guess_same_as"] = "a"
    for glass in ("a", "d"):
        table.glasses[glass]["uncovered_at"] = WHEN
    table.guests["g1"]["removed_at"] = WHEN
    found = results(table)
    assert found is not None
    assert [(one["glass"], one["count"]) for one in found["order"]] == [
        ("b", 1), ("c", 1), ("d", 1), ("a", 1)
    ]  # fmt: skip
    assert (found["duplicate"]["found"], found["duplicate"]["tried"]) == (1, 1)


def test_glasses_liked_alike_share_a_place() -> None:
    found = results(table_of([[7, 7, 5, 4], [6, 6, 4, 2]]))
    assert found is not None
    assert [(one["glass"], one["place"]) for one in found["order"]] == [
        ("a", 1), ("b", 1), ("c", 3), ("d", 4)
    ]  # fmt: skip


def test_results_are_of_glasses_laid_open() -> None:
    table = table_of([[3, 8, 5, 4]], results_at=None)
    assert results(table) is None
    table = table_of([[3, 8, 5, 4]])
    del table.glasses["b"]["discussed_at"]
    assert order_of(table) == ["c", "d", "a"]
    table.head["ended_at"] = WHEN
    assert order_of(table) == ["b", "c", "d", "a"]
    # A table that ended without the results opened shows what was laid open.
    del table.head["results_at"]
    assert order_of(table) == ["c", "d", "a"]


def test_results_name_the_duplicate_with_both_labels() -> None:
    table = table_of([[3, 8, 5, 4], [4, 9, 5, 4], [9, 9, 6, 4]], names_shown=True)
    for guest, glass, other in (("g0", "a", "d"), ("g1", "a", "b"), ("g2", "d", "a")):
        table.sheets[sheet_id(guest, glass)]["guess_same_as"] = other
    # Whoever names two pairs has found neither.
    table.sheets[sheet_id("g2", "b")]["guess_same_as"] = "c"
    table.guests["g0"]["name"] = "Ada"
    table.glasses["a"]["uncovered_at"] = WHEN
    found = results(table)
    assert found is not None
    assert found["duplicate"] is None
    table.glasses["d"]["uncovered_at"] = WHEN
    found = results(table)
    assert found is not None
    assert found["duplicate"] == {
        "glasses": ["a", "d"],
        "found": 1,
        "tried": 3,
        "names": ["Ada"],
    }
    table.head["names_shown"] = None
    found = results(table)
    assert found is not None
    assert found["duplicate"]["names"] is None


def test_late_answer_reaches_the_open_results(
    table_app: Flask, leader: Leader, guest: Guest
) -> None:
    noted = now_ms()
    leader.change(results_at=moment(noted + 1), ended_at=moment(noted + 1))
    guest.poll()
    other = Guest(guest.client, token=guest.token, id=guest.id)
    assert other.put(leader.glasses[1], noted, liking=8).json["stored"] == ["liking"]
    assert [one["glass"] for one in guest.table()["results"]["order"]] == [leader.glasses[1]]


def test_done_step_reaches_the_leader_and_ends_with_it(leader: Leader, guest: Guest) -> None:
    glass, noted = leader.glasses[0], now_ms() - 60_000
    for value, at in ((True, 0), (None, 5), (True, 10)):
        assert guest.put(glass, noted + at, done_look=value).json["stored"] == ["done_look"]
    leader.change_glass(0, closed_look_at=moment(noted + 20))
    late = guest.put(glass, noted + 30 + grace_ms(), done_look=None).json
    assert (late["stored"], list(late["closed"])) == ([], ["done_look"])
    (sheet,) = leader.records("sheet").values()
    assert sheet["done_look"] is True
    assert guest.table()["sheets"] == {glass: {"done_look": True}}
    # To be done is no answer: nobody else receives it, and the spreadsheet has no column for it.
    leader.change_glass(0, discussed_at=moment(now_ms()))
    assert guest.table()["glasses"][0]["answers"] == []
    csv = leader.client.get(f"/api/group-tastings/{leader.table}/sheets.csv").text
    assert "done_" not in csv
    asked = guest.put(glass, first_nose_words=["rose"], done_first_nose="yes").json
    assert list(asked["errors"]) == ["done_first_nose"]


@pytest.mark.parametrize("others", [False, True])
def test_withdrawn_consent_ends_the_person(
    table_app: Flask, leader: Leader, guest: Guest, others: bool
) -> None:
    noted, person = now_ms() - 60_000, new_id()
    assert guest.consent(noted).json["done"] is True
    assert leader.records("guest")[guest.id]["agreed_at"] == moment(noted)
    assert guest.table()["guest"]["agreed_at"] == moment(noted)
    # An older decision that arrives later changes nothing.
    guest.consent(noted - 5, agreed=False)
    assert leader.records("guest")[guest.id]["agreed_at"] == moment(noted)
    leader.put("person", person, name="Ada", agreed_at=moment(noted))
    leader.put("guest", guest.id, person=person)
    if others:
        other = Guest(table_app.test_client(), "Bo").join(secret=leader.invite()["secret"])
        leader.put("guest", other.id, person=person)
    assert guest.consent(noted + 5, agreed=False).status_code == 200
    written = leader.records("guest")[guest.id]
    assert (written["agreed_at"], written["person"]) == (None, None)
    assert (person in leader.records("person")) is others
    mark = [one for one in leader.all_records() if one["id"] == person]
    assert ("Ada" in str(mark)) is others
    before = leader.last_seq()
    guest.consent(noted + 5, agreed=False)
    assert leader.last_seq() == before


def test_consent_is_read_strictly(leader: Leader, guest: Guest) -> None:
    for body in ({}, {"agreed": "yes", "noted_ms": 1}, {"agreed": True}):
        assert guest.ask("PUT", "/api/guests/consent", json=body).status_code == 400
    assert leader.records("guest")[guest.id].get("agreed_at") is None
    stranger = Guest(guest.client, token="wrong")
    assert stranger.consent(now_ms()).status_code == 401
