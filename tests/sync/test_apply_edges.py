"""Which changes of a batch count as new, their sequence numbers, and what the response omits."""

from __future__ import annotations

from typing import Any

import pytest
from sqlalchemy import Connection

from tests.memory_database import rows_of
from tests.sync.conftest import START_MS, Server
from tests.sync.test_service import ask, change, number, outcomes
from webapp.db import tables
from webapp.records.record import Record
from webapp.sync.apply import apply_changes

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
    # It lost against the figs, and used no number of its own.
    assert revisions_of(server) == [('"pears"', 3), ('"plums"', 3)]
    assert server.rows(tables.owner)[0]["seq"] == 3


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


def written(ms: int, counter: int = 0, /, **fields: Any) -> Record:
    """Return a change of one tasting by one phone."""
    clocks = dict.fromkeys(fields, f"{START_MS + ms}-{counter:04x}-aaaaaaaa")
    return {
        "kind": "tasting",
        "id": number(0),
        "fields": fields,
        "clocks": clocks,
        "deleted": False,
        "deleted_clock": None,
    }


@pytest.mark.parametrize(
    ("earlier", "later", "kept"),
    [
        (written(0, 0, words="pl"), written(0, 1, words="plums"), []),
        (written(0, 0, words="pl"), written(59_999, 0, words="plums"), []),
        (written(0, 0, words="plums"), written(1, 0, words=None), [("words", '"plums"')]),
        (written(0, 0, words=None), written(1, 0, words="plums"), [("words", "null")]),
        (written(0, 0, liking=6), written(1, 0, liking=7), [("liking", "6")]),
        (
            written(0, 0, moon="pl", words="figs"),
            written(1, 0, moon="plums", words="plums"),
            [("words", '"figs"')],
        ),
    ],
)
def test_only_a_continued_text_leaves_no_revision(
    connection: Connection, earlier: Record, later: Record, kept: list[tuple[str, str]]
) -> None:
    apply_changes(connection, 1, 0, 0, [earlier, later])
    assert rows_of(connection, tables.revision, "field", "value") == kept


def test_oversized_change_is_not_counted_as_new(connection: Connection) -> None:
    large = written(1, 0, **{f"moon_{place}": 1 for place in range(201)})
    result = apply_changes(connection, 1, 0, 0, [large, written(0, 0, words="plums"), large])
    assert result.is_new == [False, True, False]
    assert {place: one["code"] for place, one in result.rejected.items()} == {
        0: "too_many",
        2: "too_many",
    }
