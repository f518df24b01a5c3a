"""Limits of pairing tokens, codes and offers."""

from __future__ import annotations

import pytest
from flask import Flask
from sqlalchemy import select

from tests.auth.test_limits import NOW_S, PHONE
from webapp.auth import pairing, sessions
from webapp.auth.errors import AccessError
from webapp.db.engine import write_transaction
from webapp.db.tables import pairing as pairing_table


def test_session_tokens_have_256_bits_and_pairing_192(sqlite_app: Flask) -> None:
    with sqlite_app.app_context(), write_transaction() as connection:
        assert len(sessions.start(connection, 1, PHONE, NOW_S)) == 43
        made = pairing.create_offer(connection, 1, None, NOW_S)
        assert len(made.secret) == 32
        assert len(pairing.claim_offer(connection, made.secret, "x", NOW_S).claim) == 32


def test_pairing_code_always_has_four_digits(
    sqlite_app: Flask, monkeypatch: pytest.MonkeyPatch
) -> None:
    bounds = []

    def low(bound: int) -> int:
        bounds.append(bound)
        return 7

    monkeypatch.setattr(pairing.secrets, "randbelow", low)
    with sqlite_app.app_context(), write_transaction() as connection:
        made = pairing.create_offer(connection, 1, None, NOW_S)
        assert pairing.claim_offer(connection, made.secret, "x", NOW_S).code == "0007"
    assert bounds == [10_000]


def test_new_pairing_offer_deletes_expired_ones(sqlite_app: Flask) -> None:
    with sqlite_app.app_context(), write_transaction() as connection:
        old = pairing.create_offer(connection, 2, None, NOW_S)
        kept = pairing.create_offer(connection, 2, None, NOW_S + 1)
        made = pairing.create_offer(connection, 1, None, NOW_S + 600)
        left = connection.scalars(select(pairing_table.c.id)).all()
        assert set(left) == {kept.id, made.id}
        with pytest.raises(AccessError):
            pairing.get_offer(connection, 2, None, old.id, NOW_S)


def test_pairing_offer_is_readable_until_it_expires(sqlite_app: Flask) -> None:
    with sqlite_app.app_context(), write_transaction() as connection:
        made = pairing.create_offer(connection, 1, None, NOW_S)
        assert made.until == NOW_S + 600
        assert pairing.get_offer(connection, 1, None, made.id, NOW_S + 599).id == made.id
        with pytest.raises(AccessError):
            pairing.get_offer(connection, 1, None, made.id, NOW_S + 600)
