"""Challenges as stored: whom they are bound to, how long they are valid, how many are kept."""

from __future__ import annotations

import pytest
from sqlalchemy import Connection

from tests.auth.conftest import KEY
from tests.memory_database import first_row, rows_of
from webapp.auth import passkey_challenges
from webapp.auth.errors import AccessError
from webapp.auth.passkey_challenges import Adding
from webapp.auth.sessions import Browser, token_hash
from webapp.db.tables import passkey_challenge

NOW_S = 1_790_000_400
HERE = Browser("", "192.0.2.1", KEY)


def create(connection: Connection, adding: Adding | None = None, now_s: int = NOW_S) -> bytes:
    return passkey_challenges.create(connection, HERE, adding, now_s)


def test_challenge_for_adding_stores_who_adds(connection: Connection) -> None:
    made = create(connection, Adding(1, "a sign-in", "a handle"))
    assert len(made) == 64
    assert first_row(connection, passkey_challenge) == {
        "challenge_hash": token_hash(made.hex()),
        "owner_id": 1,
        "sign_in_id": "a sign-in",
        "user_handle": "a handle",
        "key_hash": token_hash(KEY),
        "address": "192.0.2.1",
        "until": NOW_S + 300,
    }


def test_challenge_for_signing_in_names_nobody(connection: Connection) -> None:
    create(connection)
    row = first_row(connection, passkey_challenge)
    assert [row[name] for name in ("owner_id", "sign_in_id", "user_handle")] == [None] * 3


def test_challenge_is_used_once(connection: Connection) -> None:
    made, other = create(connection), create(connection)
    taken = passkey_challenges.consume(connection, made, KEY, None, NOW_S + 299)
    assert taken.challenge_hash == token_hash(made.hex())
    assert rows_of(connection, passkey_challenge, "challenge_hash") == [(token_hash(other.hex()),)]
    with pytest.raises(AccessError, match="begin again") as refused:
        passkey_challenges.consume(connection, made, KEY, None, NOW_S)
    assert refused.value.code == "passkey_expired"


@pytest.mark.parametrize(
    ("key", "sign_in_id", "now_s"),
    [
        ("another", "a sign-in", NOW_S),
        (KEY, "another", NOW_S),
        (KEY, None, NOW_S),
        (KEY, "a sign-in", NOW_S + 300),
    ],
)
def test_challenge_of_another_request_is_refused(
    connection: Connection, key: str, sign_in_id: str | None, now_s: int
) -> None:
    made = create(connection, Adding(1, "a sign-in", "a handle"))
    with pytest.raises(AccessError):
        passkey_challenges.consume(connection, made, key, sign_in_id, now_s)
    assert len(rows_of(connection, passkey_challenge, "until")) == 1


def test_new_challenge_deletes_expired_ones(connection: Connection) -> None:
    create(connection)
    create(connection, now_s=NOW_S + 299)
    assert len(rows_of(connection, passkey_challenge, "until")) == 2
    create(connection, now_s=NOW_S + 300)
    assert rows_of(connection, passkey_challenge, "until") == [(NOW_S + 599,), (NOW_S + 600,)]


def test_fifty_challenges_of_an_address_are_kept(connection: Connection) -> None:
    other = Browser("", "192.0.2.2", KEY)
    passkey_challenges.create(connection, other, None, NOW_S)
    for second in range(52):
        create(connection, now_s=NOW_S + second)
    assert rows_of(connection, passkey_challenge, "address", "until") == [
        *[("192.0.2.1", NOW_S + 300 + second) for second in range(2, 52)],
        ("192.0.2.2", NOW_S + 300),
    ]


def test_challenges_of_one_second_are_kept_by_hash(connection: Connection) -> None:
    hashes = sorted(token_hash(create(connection).hex()) for _ in range(50))
    added = token_hash(create(connection).hex())
    left = [hashed for (hashed,) in rows_of(connection, passkey_challenge, "challenge_hash")]
    assert left == sorted([*hashes[:49], added])
