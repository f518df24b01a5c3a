"""Limits on the size of a record, a notebook and a page."""

from __future__ import annotations

import json
import tracemalloc
from typing import Any

import pytest
from flask import Flask
from sqlalchemy import insert, update

from tests.conftest import AppMaker
from tests.sync.conftest import START_MS, Server
from webapp.db import tables
from webapp.db.engine import write_transaction
from webapp.records.record import Record
from webapp.sync import limits
from webapp.sync.schemas import SyncRequestSchema
from webapp.sync.service import handle_sync

ID = "0192f0c1-2a3b-7c4d-8e5f-60718293a4b5"
TOO_BIG = {"code": "too_big", "bound": limits.MAX_RECORD_CHARACTERS}
TOO_MANY = {"code": "too_many", "bound": limits.MAX_FIELDS}


def ask(*changes: dict[str, Any], **parts: Any) -> dict[str, Any]:
    return {"format": 1, "device": "aaaaaaaa", "cursor": 0, "changes": [*changes]} | parts


def grown(ms: int, names: range, letters: int, id_: str = ID) -> dict[str, Any]:
    """Return a change with `names` unknown fields of `letters` characters each."""
    fields = {f"moon_{number}": "x" * letters for number in names}
    clocks = dict.fromkeys(fields, f"{START_MS + ms}-0000-aaaaaaaa")
    return {"kind": "tasting", "id": id_, "fields": fields, "clocks": clocks}


def number(value: int) -> str:
    return f"0192f0c1-2a3b-7c4d-8e5f-{value:012x}"


def outcome(answer: dict[str, Any]) -> tuple[str, Any]:
    (value,) = answer["outcomes"]
    return value["outcome"], value.get("errors")


def test_field_limit_holds_over_many_pushes(server: Server) -> None:
    assert outcome(server.send(ask(grown(0, range(190), 5))))[0] == "applied"
    assert outcome(server.send(ask(grown(1, range(190, 380), 5)))) == (
        "refused",
        {"record": [TOO_MANY]},
    )
    (result,) = server.state().values()
    assert len(result["fields"]) == 190


def test_text_limit_holds_over_many_pushes(server: Server) -> None:
    for step in range(20):
        answer = server.send(ask(grown(step, range(step * 2, step * 2 + 2), 15_000)))
        assert outcome(answer)[0] == ("applied" if step < 16 else "refused")
    (page,) = server.send(ask())["changes"]
    assert len(json.dumps(page)) < limits.MAX_RECORD_CHARACTERS + 10_000


def test_new_record_has_the_same_limit(server: Server) -> None:
    assert outcome(server.send(ask(grown(7, range(40), 15_000)))) == (
        "refused",
        {"record": [TOO_BIG]},
    )
    assert server.state() == {}
    assert server.rows(tables.owner)[0]["max_clock_ms"] == 0


def test_oversized_record_can_be_reduced(server: Server) -> None:
    server.send(ask(grown(0, range(190), 5)))
    large = {f"moon_{one}": "x" * 5 for one in range(300)}
    clocks = dict.fromkeys(large, f"{START_MS}-0000-aaaaaaaa")
    with server.app.app_context(), write_transaction() as connection:
        values = {"fields": json.dumps(large), "clocks": json.dumps(clocks)}
        connection.execute(update(tables.record).values(values))
    assert outcome(server.send(ask(grown(5, range(2), 3))))[0] == "applied"
    assert outcome(server.send(ask(grown(6, range(2), 9))))[0] == "refused"


def holding(**fields: Any) -> Record:
    return {
        "kind": "tasting",
        "id": ID,
        "fields": fields,
        "clocks": {},
        "deleted": False,
        "deleted_clock": None,
    }


@pytest.mark.parametrize(
    ("within", "over", "error"),
    [
        ({"moon": "x" * 500_000}, {"moon": "x" * 500_001}, TOO_BIG),
        ({"moon": "x" * 499_976, "body": 1}, {"moon": "x" * 499_977, "body": 1}, TOO_BIG),
        (
            {"moon": "x" * 499_993, "sun": ["abc"]},
            {"moon": "x" * 499_993, "sun": ["abcd"]},
            TOO_BIG,
        ),
        (
            {f"moon_{place}": 1 for place in range(200)},
            {f"moon_{place}": 1 for place in range(201)},
            TOO_MANY,
        ),
    ],
)
def test_record_size_is_limited_exactly(
    within: dict[str, Any], over: dict[str, Any], error: dict[str, Any]
) -> None:
    assert limits.size_error(holding(**within)) is None
    assert limits.size_error(holding(**over)) == error
    assert limits.growth_error(holding(**over), holding(**over)) is None
    assert limits.growth_error(holding(**within), holding(**over)) == error


def test_oversized_record_uses_no_capacity() -> None:
    capacity = limits.Capacity(1, 5)
    too_big = capacity.rejection(holding(moon="x" * 500_001))
    assert (too_big, capacity.remaining) == (TOO_BIG, 1)
    assert capacity.rejection(holding(moon=1)) is None
    assert capacity.rejection(holding(moon=1)) == {"code": "too_many_records", "bound": 5}


def test_rejected_change_does_not_block_others(server: Server) -> None:
    server.send(ask(grown(0, range(190), 5)))
    answer = server.send(ask(grown(1, range(190, 380), 5), grown(1, range(3), 5, number(7))))
    assert [one["outcome"] for one in answer["outcomes"]] == ["refused", "applied"]


def test_record_count_is_limited(any_app: Flask) -> None:
    def send(*changes: dict[str, Any]) -> list[str]:
        asked = SyncRequestSchema().load(json.loads(json.dumps(ask(*changes))))
        with any_app.app_context():
            value = handle_sync(write_transaction, 1, asked, START_MS, max_records=3).outcomes
        return [one["outcome"] for one in value]

    news = [grown(0, range(1), 3, number(one)) for one in range(5)]
    assert send(*news) == ["applied"] * 3 + ["refused"] * 2
    # Existing fields can still be changed.
    assert send(grown(1, range(1), 4, number(1)), news[4]) == ["applied", "refused"]


def test_phone_is_told_of_the_record_limit(make_app: AppMaker) -> None:
    client = make_app(MAX_RECORDS=1).test_client()
    news = [grown(0, range(1), 3, number(one)) for one in range(2)]
    payload = client.post("/api/sync", json=ask(*news)).json["outcomes"]
    assert payload[1]["errors"] == {"record": [{"code": "too_many_records", "bound": 1}]}


@pytest.fixture
def large_book(any_app: Flask) -> Server:
    """Return a notebook of 600 records of 100,000 characters each."""
    rows = [
        {
            **{"owner_id": 1, "kind": "tasting", "id": number(one), "seq": one + 1},
            "fields": json.dumps({"moon": "x" * 100_000}),
            "clocks": json.dumps({"moon": f"{START_MS}-0000-aaaaaaaa"}),
            **{"deleted": False, "deleted_clock": None},
        }
        for one in range(600)
    ]
    with any_app.app_context(), write_transaction() as connection:
        connection.execute(insert(tables.record), rows)
        connection.execute(update(tables.owner).values(seq=600))
    return Server(any_app)


def test_page_reads_little_more_than_it_sends(large_book: Server) -> None:
    large_book.send(ask(limit=1))
    tracemalloc.start()
    page = large_book.send(ask(limit=1000))
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert (len(page["changes"]), page["more"], page["remaining"]) == (40, True, 560)
    # The notebook has 60 million characters, a page 4 million, here copied more than once.
    assert peak < 40_000_000


def test_pages_limited_by_size_deliver_everything(large_book: Server) -> None:
    result, shown, more = list[str](), dict[str, Any](), True
    while more:
        page = large_book.send(ask(limit=1000, **shown))
        assert not page["rewound"]
        result += [one["id"] for one in page["changes"]]
        shown, more = {name: page[name] for name in ("cursor", "epoch", "token")}, page["more"]
    assert result == [number(one) for one in range(600)]
