"""The leader, and nobody else, learns how long ago a guest's phone last asked."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from flask import Flask
from sqlalchemy import update

from tests.auth.conftest import signed_in_client
from tests.group_tasting.evening import Guest, Leader
from webapp.db.engine import write_transaction
from webapp.db.tables import group_guest_token
from webapp.group_tasting import silence

Age = Callable[[int], None]


@pytest.fixture
def age(table_app: Flask) -> Age:
    """Return a function that moves all requests of guests into the past, by seconds."""

    def move(seconds: int) -> None:
        columns = group_guest_token.c
        past = {"made_at": columns.made_at - seconds, "seen_at": columns.seen_at - seconds}
        with table_app.app_context(), write_transaction() as connection:
            connection.execute(update(group_guest_token).values(past))

    return move


def phones(leader: Leader) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = leader.client.get(
        f"/api/group-tastings/{leader.table}/phones"
    ).get_json()["phones"]
    return found


def test_silent_phone_is_told_by_the_servers_clock(leader: Leader, guest: Guest, age: Age) -> None:
    [phone] = phones(leader)
    assert set(phone) == {"guest", "silent_s"}
    assert phone["silent_s"] < silence.NOTED_EVERY_S
    age(300)
    assert phones(leader)[0]["silent_s"] >= 300


def test_poll_ends_the_silence_even_without_a_change(
    leader: Leader, guest: Guest, age: Age
) -> None:
    guest.poll()
    age(300)
    assert guest.poll().status_code == 304
    assert phones(leader)[0]["silent_s"] < silence.NOTED_EVERY_S


def test_poll_does_not_wait_for_another_write(
    leader: Leader, guest: Guest, age: Age, table_app: Flask
) -> None:
    guest.poll()
    age(300)
    with table_app.app_context(), write_transaction() as connection:
        connection.execute(update(group_guest_token).values(seen_at=group_guest_token.c.seen_at))
        # It would wait for 20 s and then fail.
        assert guest.poll().status_code == 304
    assert phones(leader)[0]["silent_s"] >= 300
    guest.poll()
    assert phones(leader)[0]["silent_s"] < silence.NOTED_EVERY_S


def test_guest_who_left_is_no_silent_phone(leader: Leader, guest: Guest) -> None:
    assert guest.ask("POST", "/api/guests/leave", json={}).status_code == 200
    assert phones(leader) == []


def test_silence_is_told_to_the_owner_only(table_app: Flask, leader: Leader, guest: Guest) -> None:
    path = f"/api/group-tastings/{leader.table}/phones"
    assert signed_in_client(table_app, "bruno").get(path).status_code == 404
    assert guest.ask("GET", path).status_code in {401, 403}
    assert b"seen" not in guest.poll().data
