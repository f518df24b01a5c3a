"""Which changes of a batch count as new, their sequence numbers, and what the response omits."""

from __future__ import annotations

from tests.sync.conftest import START_MS, Server
from tests.sync.test_service import ask, change, number, outcomes
from webapp.db import tables

EARLY, LATE, LATEST = (f"{START_MS + after}-0000-bbbbbbbb" for after in (1, 2, 3))


def revisions_of(server: Server) -> list[tuple[str, int]]:
    return sorted((row["value"], row["overruled_at"]) for row in server.rows(tables.revision))


def test_record_known_up_to_the_cursor_is_not_returned(server: Server) -> None:
    epoch = server.send(ask(changes=[change(id=number(0)), change(id=number(1))]))["epoch"]
    values = {"device": "bbbbbbbb", "epoch": epoch, "cursor": 1}
    answer = server.send(ask(**values, changes=[change(id=number(0), clock=LATE)]))
    assert [one["id"] for one in answer["changes"]] == [number(1)]


def test_record_changed_after_the_cursor_is_returned(server: Server) -> None:
    epoch = server.send(ask(changes=[change(id=number(0)), change(id=number(1))]))["epoch"]
    values = {"device": "bbbbbbbb", "epoch": epoch, "cursor": 1}
    answer = server.send(ask(**values, changes=[change(id=number(1), clock=LATE)]))
    assert [one["id"] for one in answer["changes"]] == [number(1)]


def test_superseded_value_has_its_sequence_number(server: Server) -> None:
    server.send(ask(changes=[change(value="plums", clock=EARLY), change(id=number(1))]))
    server.send(ask(changes=[change(value="figs", clock=LATEST)]))
    assert revisions_of(server) == [('"plums"', 3)]
    server.send(ask(changes=[change(value="pears", clock=LATE)]))
    assert revisions_of(server) == [('"pears"', 4), ('"plums"', 3)]


def test_record_changed_twice_in_a_batch_has_one_sequence(server: Server) -> None:
    server.send(ask(changes=[change(value="plums", clock=EARLY)]))
    twice = [change(value="figs", clock=LATE), change(value="pears", clock=LATEST)]
    assert outcomes(server.send(ask(changes=[*twice, change(id=number(1))]))) == ["applied"] * 3
    assert sorted(row["seq"] for row in server.rows(tables.record)) == [2, 3]
    assert server.rows(tables.owner)[0]["seq"] == 3
    assert [value for value, _ in revisions_of(server)] == ['"figs"', '"plums"']


def test_same_superseded_value_in_a_batch_is_stored_once(server: Server) -> None:
    server.send(ask(changes=[change(value="figs", clock=LATEST)]))
    lost = change(value="plums", clock=EARLY)
    assert outcomes(server.send(ask(changes=[lost, lost]))) == ["applied", "duplicate"]
    assert [value for value, _ in revisions_of(server)] == ['"plums"']
