"""The response to one sync request, and what is stored after it."""

from __future__ import annotations

from typing import Any

import pytest

from tests.sync.conftest import START_MS, Server
from tests.sync.simulated_phone import Phone
from webapp.db import tables

TASTING = ("tasting", "0192f0c1-2a3b-7c4d-8e5f-60718293a4b5")
OTHER = ("tasting", "0192f0c1-2a3b-7c4d-8e5f-60718293a4b6")
CLOCK = f"{START_MS}-0000-aaaaaaaa"
FIVE_MINUTES_MS = 300_000


def ask(**parts: Any) -> dict[str, Any]:
    return {"format": 1, "device": "aaaaaaaa", "cursor": 0, **parts}


def change(
    field: str = "words", value: Any = "plums", clock: str = CLOCK, **parts: Any
) -> dict[str, Any]:
    fields = {"fields": {field: value}, "clocks": {field: clock}}
    return {"kind": TASTING[0], "id": TASTING[1], **fields, **parts}


def outcomes(answer: dict[str, Any]) -> list[str]:
    return [one["outcome"] for one in answer["outcomes"]]


def number(value: int) -> str:
    return f"0192f0c1-2a3b-7c4d-8e5f-{value:012x}"


def test_new_record_is_applied_and_stored(server: Server) -> None:
    answer = server.send(ask(changes=[change()]))
    assert outcomes(answer) == ["applied"]
    assert server.state()["tasting/" + TASTING[1]]["fields"] == {"words": "plums"}


def test_repeated_request_changes_nothing(server: Server) -> None:
    server.send(ask(changes=[change()]))
    before = server.rows(tables.record)
    answer = server.send(ask(changes=[change()]))
    assert outcomes(answer) == ["duplicate"]
    assert server.rows(tables.record) == before
    assert server.rows(tables.revision) == []


def test_superseded_change_is_stored_once(server: Server) -> None:
    later = f"{START_MS + 5}-0000-bbbbbbbb"
    server.send(ask(changes=[change(value="figs", clock=later)]))
    assert outcomes(server.send(ask(changes=[change()]))) == ["applied"]
    assert outcomes(server.send(ask(changes=[change()]))) == ["duplicate"]
    assert [(r["value"], r["clock"]) for r in server.rows(tables.revision)] == [('"plums"', CLOCK)]


def test_invalid_record_does_not_block_the_batch(server: Server) -> None:
    bad = change("liking", 10, id=OTHER[1])
    answer = server.send(ask(changes=[bad, change(), 3, None, "x", {}]))
    assert outcomes(answer) == ["refused", "applied", "refused", "refused", "refused", "refused"]
    assert answer["outcomes"][0]["errors"] == {"liking": [{"code": "too_high", "bound": 9}]}
    assert [*server.state()] == ["tasting/" + TASTING[1]]


def test_own_changes_are_not_returned(server: Server) -> None:
    answer = server.send(ask(changes=[change()]))
    assert answer["changes"] == []
    assert (answer["cursor"], answer["more"], answer["remaining"]) == (1, False, 0)


def test_repeated_change_returns_the_whole_record(
    server: Server,
) -> None:
    server.send(ask(changes=[change()]))
    assert len(server.send(ask(changes=[change()]))["changes"]) == 1


def test_record_changed_by_others_is_returned_merged(server: Server) -> None:
    server.send(ask(device="bbbbbbbb", changes=[change("liking", 7)]))
    answer = server.send(ask(changes=[change()]))
    assert answer["changes"][0]["fields"] == {"liking": 7, "words": "plums"}


def test_unknown_field_is_returned_unchanged(server: Server) -> None:
    moon = {"phase": [1, None, "ü"], "x": 0.1}
    server.send(ask(changes=[change("moon", moon)]))
    answer = server.send(ask(device="bbbbbbbb"))
    assert answer["changes"][0]["fields"] == {"moon": moon}


def test_same_record_twice_in_a_batch_is_merged_in_order(server: Server) -> None:
    later = f"{START_MS}-0001-aaaaaaaa"
    answer = server.send(ask(changes=[change(), change(value="figs", clock=later)]))
    assert outcomes(answer) == ["applied", "applied"]
    (row,) = server.rows(tables.record)
    assert (row["seq"], row["fields"]) == (1, '{"words":"figs"}')
    assert [r["value"] for r in server.rows(tables.revision)] == ['"plums"']


@pytest.mark.parametrize("limit", [1, 2, 3, 4, 1000])
def test_pages_of_any_size_return_every_record_once(server: Server, limit: int) -> None:
    server.send(ask(changes=[change(id=number(i)) for i in range(4)]))
    result, seen, more = ask(device="bbbbbbbb", limit=limit), [], True
    while more:
        answer = server.send(result)
        assert len(answer["changes"]) <= limit
        seen += [one["id"] for one in answer["changes"]]
        assert answer["remaining"] == 4 - len(seen)
        more = answer["more"]
        result |= {"cursor": answer["cursor"], "epoch": answer["epoch"]}
    assert seen == [number(i) for i in range(4)]


def test_limit_of_zero_returns_nothing(server: Server) -> None:
    server.send(ask(changes=[change()]))
    answer = server.send(ask(device="bbbbbbbb", limit=0))
    assert (answer["changes"], answer["cursor"], answer["more"]) == ([], 0, True)


def test_sequence_numbers_are_not_reused(server: Server) -> None:
    server.send(ask(changes=[change(), change(id=OTHER[1])]))
    later = f"{START_MS}-0001-aaaaaaaa"
    server.send(ask(changes=[change(value="figs", clock=later)]))
    assert sorted(row["seq"] for row in server.rows(tables.record)) == [2, 3]
    assert server.rows(tables.owner)[0]["seq"] == 3


def test_clock_far_ahead_is_returned_for_restamping(server: Server) -> None:
    ahead = f"{START_MS + FIVE_MINUTES_MS + 1}-0000-aaaaaaaa"
    answer = server.send(ask(changes=[change(clock=ahead), change(id=OTHER[1])]))
    assert outcomes(answer) == ["restamp", "applied"]
    assert answer["now"] == START_MS
    assert [*server.state()] == ["tasting/" + OTHER[1]]


def test_clock_within_five_minutes_is_accepted(server: Server) -> None:
    ahead = f"{START_MS + FIVE_MINUTES_MS}-0000-aaaaaaaa"
    assert outcomes(server.send(ask(changes=[change(clock=ahead)]))) == ["applied"]


def test_edits_are_accepted_after_the_server_clock_falls_back(server: Server) -> None:
    server.send(ask(changes=[change()]))
    server.now_ms -= 10 * FIVE_MINUTES_MS
    later = f"{START_MS}-0001-bbbbbbbb"
    assert outcomes(server.send(ask(changes=[change(value="figs", clock=later)]))) == ["applied"]


def test_phone_ten_years_ahead_does_not_win_permanently(server: Server) -> None:
    wrong, right = Phone("aaaaaaaa", 10 * 365 * 86_400_000), Phone("bbbbbbbb")
    wrong.edit(server.now_ms, TASTING, "words", "from the future")
    wrong.sync(server.send)
    server.now_ms += 1
    right.sync(server.send)
    right.edit(server.now_ms, TASTING, "words", "from today")
    right.sync(server.send)
    wrong.sync(server.send)
    assert wrong.state() == right.state() == server.state()
    assert server.state()["tasting/" + TASTING[1]]["fields"] == {"words": "from today"}


def test_later_edit_restores_a_record_deleted_elsewhere(server: Server) -> None:
    one, two = Phone("aaaaaaaa"), Phone("bbbbbbbb")
    one.edit(server.now_ms, TASTING, "words", "plums")
    one.sync(server.send)
    two.sync(server.send)
    one.edit(server.now_ms + 1, TASTING, "deleted", True)
    two.edit(server.now_ms + 2, TASTING, "words", "figs")
    for phone in (one, two, one):
        phone.sync(server.send)
    assert one.state() == two.state() == server.state()
    assert server.state()["tasting/" + TASTING[1]]["deleted"] is True
    assert server.state()["tasting/" + TASTING[1]]["fields"] == {"words": "figs"}


def test_phone_away_for_a_year_receives_deletions(server: Server) -> None:
    here, away = Phone("aaaaaaaa"), Phone("bbbbbbbb")
    here.edit(server.now_ms, TASTING, "words", "plums")
    here.sync(server.send)
    away.sync(server.send)
    here.edit(server.now_ms + 1, TASTING, "deleted", True)
    here.sync(server.send)
    server.now_ms += 365 * 86_400_000
    away.sync(server.send)
    assert away.state()["tasting/" + TASTING[1]]["deleted"] is True
