"""Edge cases of one request: rewound phones, records without clocks, odd changes, full pages."""

from __future__ import annotations

import json
from typing import Any

import pytest

from tests.sync.conftest import START_MS, Server
from tests.sync.test_service import CLOCK, OTHER, TASTING, ask, change, number, outcomes
from webapp.db import tables
from webapp.sync.hlc import MAX_CLOCK_AHEAD_MS


def owner(server: Server) -> dict[str, Any]:
    return server.rows(tables.owner)[0]


def test_rewound_phone_receives_its_own_changes_too(server: Server) -> None:
    answer = server.send(ask(cursor=5, changes=[change(), change(id=OTHER[1])]))
    assert answer["rewound"] is True
    assert [one["id"] for one in answer["changes"]] == [TASTING[1], OTHER[1]]


def test_phone_with_a_foreign_epoch_is_rewound(server: Server) -> None:
    epoch = server.send(ask(changes=[change()]))["epoch"]
    assert server.send(ask(cursor=1, epoch=epoch))["rewound"] is False
    assert server.send(ask(cursor=1, epoch="0" * 32))["rewound"] is True
    assert server.send(ask(cursor=0, epoch="0" * 32))["rewound"] is True
    assert server.send(ask(cursor=1))["rewound"] is True
    assert server.send(ask(cursor=0))["rewound"] is False


def test_record_without_a_clock_is_accepted(server: Server) -> None:
    bare = {"kind": TASTING[0], "id": TASTING[1], "fields": {}, "clocks": {}}
    assert outcomes(server.send(ask(changes=[bare]))) == ["applied"]
    assert outcomes(server.send(ask(changes=[bare]))) == ["duplicate"]
    assert owner(server)["max_clock_ms"] == 0


def test_value_of_another_device_keeps_its_clock(server: Server) -> None:
    # Phones pass on what another one wrote on a merged bottle (static/sync/merged_bottles.js).
    theirs = f"{START_MS - 5}-0000-bbbbbbbb"
    server.send(ask(changes=[change("place", "here")]))
    passed_on = change(clock=theirs)
    assert outcomes(server.send(ask(changes=[passed_on]))) == ["applied"]
    answer = server.send(ask(device="cccccccc", changes=[passed_on]))
    assert (outcomes(answer), answer["fork"]) == (["duplicate"], False)
    clocks = server.state()["tasting/" + TASTING[1]]["clocks"]
    assert clocks == {"place": CLOCK, "words": theirs}


def test_latest_accepted_clock_is_stored(server: Server) -> None:
    later = f"{START_MS + 9}-0000-aaaaaaaa"
    server.send(ask(changes=[change(clock=later), change(id=OTHER[1])]))
    assert owner(server)["max_clock_ms"] == START_MS + 9
    server.send(ask(changes=[change(clock=CLOCK)]))
    assert owner(server)["max_clock_ms"] == START_MS + 9


def test_superseded_change_advances_the_latest_clock(server: Server) -> None:
    server.send(ask(changes=[change(clock=f"{START_MS}-0000-bbbbbbbb")]))
    gone = change(deleted=True, deleted_clock=f"{START_MS + 3}-0000-aaaaaaaa")
    server.send(ask(changes=[gone]))
    assert owner(server)["max_clock_ms"] == START_MS + 3


def test_clock_bound_uses_the_later_of_server_and_records(server: Server) -> None:
    server.send(ask(changes=[change(clock=f"{START_MS + MAX_CLOCK_AHEAD_MS}-0000-aaaaaaaa")]))
    ahead = f"{START_MS + 2 * MAX_CLOCK_AHEAD_MS}-0000-aaaaaaaa"
    assert outcomes(server.send(ask(changes=[change(clock=ahead)]))) == ["applied"]
    further = f"{START_MS + 3 * MAX_CLOCK_AHEAD_MS + 1}-0000-aaaaaaaa"
    assert outcomes(server.send(ask(changes=[change(clock=further)]))) == ["restamp"]


def test_rejected_batch_changes_nothing(server: Server) -> None:
    server.send(ask(changes=[change()]))
    before = owner(server)
    answer = server.send(ask(changes=[change("liking", 10), 3, change(id="<b>"), change(id=7)]))
    assert outcomes(answer) == ["refused"] * 4
    assert [one["id"] for one in answer["outcomes"]] == [TASTING[1], None, None, None]
    assert owner(server) == before


def test_response_has_format_time_and_capabilities(server: Server) -> None:
    answer = server.send(ask(changes=[change()]))
    assert (answer["format"], answer["now"]) == (1, START_MS)
    assert answer["epoch"] == server.rows(tables.safe)[0]["epoch"]
    assert answer["cursor"] == 1


def test_phone_that_is_up_to_date_receives_nothing(server: Server) -> None:
    first = server.send(ask(changes=[change()]))
    values = {"epoch": first["epoch"], "token": first["token"], "cursor": 1}
    later = f"{START_MS + 1}-0000-aaaaaaaa"
    answer = server.send(ask(**values, changes=[change(value="figs", clock=later)]))
    assert (answer["changes"], answer["cursor"], answer["remaining"]) == ([], 2, 0)


def test_phone_behind_receives_the_rest(server: Server) -> None:
    first = server.send(ask(changes=[change(id=number(i)) for i in range(3)]))
    values = {"device": "bbbbbbbb", "epoch": first["epoch"], "cursor": 1, "limit": 1}
    answer = server.send(ask(**values, changes=[change(id=number(7))]))
    assert [one["id"] for one in answer["changes"]] == [number(1)]
    assert (answer["cursor"], answer["remaining"], answer["more"]) == (2, 2, True)


@pytest.mark.parametrize("deleted", [True, False])
def test_deletion_is_returned_with_its_clock(server: Server, deleted: bool) -> None:
    gone = change(deleted=deleted, deleted_clock=CLOCK)
    server.send(ask(changes=[gone]))
    (value,) = server.send(ask(device="bbbbbbbb"))["changes"]
    assert (value["deleted"], value["deleted_clock"]) == (deleted, CLOCK)
    assert (value["kind"], value["id"], value["seq"]) == (*TASTING, 1)
    assert value["clocks"] == {"words": CLOCK}


def test_page_ends_after_four_million_characters(server: Server) -> None:
    # Nine of these records are below four million characters without their clocks, above with them.
    long = {f"moon{i}": "x" * 19_300 for i in range(23)}
    assert 3_990_000 < 9 * len(json.dumps(long, separators=(",", ":"))) < 4_000_000
    clocks = dict.fromkeys(long, CLOCK)
    for i in range(12):
        one = {"kind": "tasting", "id": number(i), "fields": long, "clocks": clocks}
        server.send(ask(changes=[one]))
    answer = server.send(ask(device="bbbbbbbb"))
    assert [one["id"] for one in answer["changes"]] == [number(i) for i in range(9)]
    assert (answer["cursor"], answer["remaining"]) == (9, 3)


def test_phone_behind_does_not_receive_its_own_changes(server: Server) -> None:
    first = server.send(ask(changes=[change(id=number(i)) for i in range(3)]))
    values = {"device": "bbbbbbbb", "epoch": first["epoch"], "cursor": 1}
    answer = server.send(ask(**values, changes=[change(id=number(7))]))
    assert [one["id"] for one in answer["changes"]] == [number(1), number(2)]
    assert (answer["cursor"], answer["remaining"]) == (4, 0)


def test_full_page_skips_own_changes(server: Server) -> None:
    first = server.send(ask(changes=[change(id=number(i)) for i in range(3)]))
    later = f"{START_MS}-0001-bbbbbbbb"
    values = {"device": "bbbbbbbb", "epoch": first["epoch"], "cursor": 2, "limit": 1}
    brought = [change(id=number(0), clock=later), change(id=number(7))]
    answer = server.send(ask(**values, changes=brought))
    assert [one["id"] for one in answer["changes"]] == [number(2)]
    assert (answer["cursor"], answer["remaining"], answer["more"]) == (5, 0, False)
