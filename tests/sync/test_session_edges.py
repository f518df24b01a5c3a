"""Tokens that a device may present, and the rewound and fork flags that result."""

from __future__ import annotations

import json
from typing import Any

from sqlalchemy import Connection, insert

from tests.memory_database import rows_of
from tests.sync.conftest import Server
from tests.sync.test_service import ask
from webapp.db import tables
from webapp.sync.session import open_session


def flags(answer: dict[str, Any]) -> tuple[bool, bool]:
    return (answer["rewound"], answer["fork"])


def show(server: Server, token: str | None, device: str = "aaaaaaaa") -> dict[str, Any]:
    return server.send(ask(device=device, token=token))


def kept(server: Server, device: str = "aaaaaaaa") -> list[list[Any]]:
    (row,) = (one for one in server.rows(tables.device) if one["id"] == device)
    tokens: list[list[Any]] = json.loads(row["tokens"])
    return tokens


def test_an_unknown_token_of_a_known_device_is_a_restored_fork(server: Server) -> None:
    show(server, None)
    assert flags(show(server, "0" * 16)) == (True, True)


def test_an_unknown_token_of_a_new_device_is_rewound_alone(server: Server) -> None:
    show(server, None, "bbbbbbbb")
    assert flags(show(server, "0" * 16)) == (True, False)


def test_token_of_another_device_causes_no_rewind(server: Server) -> None:
    token = show(server, None, "bbbbbbbb")["token"]
    assert flags(show(server, token)) == (False, False)


def test_known_device_without_a_token_causes_no_rewind(server: Server) -> None:
    show(server, None)
    assert flags(show(server, None)) == (False, False)


def test_unknown_token_is_not_stored(server: Server) -> None:
    show(server, None)
    new = show(server, "0" * 16)["token"]
    assert kept(server)[-1] == [new, None, False]


def test_another_device_does_not_validate_a_known_one(server: Server) -> None:
    token = show(server, None, "bbbbbbbb")["token"]
    show(server, None)
    assert flags(show(server, token)) == (True, True)


def test_twenty_latest_tokens_are_stored_in_order(server: Server) -> None:
    given = [show(server, None)["token"] for _ in range(22)]
    assert [entry[0] for entry in kept(server)] == given[-20:]
    assert flags(show(server, given[2])) == (False, False)
    assert flags(show(server, given[1])) == (True, True)


def test_token_stores_its_predecessor_and_use(server: Server) -> None:
    first = show(server, None)["token"]
    second = show(server, first)["token"]
    assert kept(server) == [[first, None, False], [second, first, False]]
    third = show(server, second)["token"]
    assert kept(server) == [[first, None, True], [second, first, False], [third, second, False]]
    assert flags(show(server, first)) == (False, True)


def test_presented_token_is_stored_before_lost_ones(server: Server) -> None:
    token = show(server, None)["token"]
    for _ in range(23):
        assert flags(show(server, token)) == (False, False)
    assert len(kept(server)) == 20
    assert kept(server)[-2][0] == token


def test_a_token_is_sixteen_hexadecimal_digits(server: Server) -> None:
    token = show(server, None)["token"]
    assert len(token) == 16
    assert int(token, 16) >= 0


def test_new_device_replaces_the_oldest_of_500(connection: Connection) -> None:
    plain = {"owner_id": 1, "tokens": "[]"}
    rows = [{"id": f"phone{place:03d}", "last_seen": f"9998-{place:03d}"} for place in range(500)]
    connection.execute(insert(tables.device), [plain | row for row in rows])
    open_session(connection, 1, "aaaaaaaa", None)
    kept = [id_ for (id_,) in rows_of(connection, tables.device, "id")]
    assert kept == ["aaaaaaaa", *(f"phone{place:03d}" for place in range(1, 500))]
