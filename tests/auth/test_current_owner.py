"""The owner of a request or command, and the list of all owners."""

from __future__ import annotations

import pytest
from flask import Flask, g
from sqlalchemy import update

from webapp.auth.errors import AccessError
from webapp.auth.owners import current_owner, owners, set_current_owner
from webapp.db.engine import write_transaction
from webapp.db.tables import owner


def test_owner_is_set_for_the_request(memory_app: Flask) -> None:
    with memory_app.app_context(), pytest.raises(AccessError) as refused:
        current_owner()
    assert (refused.value.code, refused.value.detail) == ("sign_in", "Sign in first.")
    with memory_app.app_context():
        set_current_owner(2)
        assert (current_owner(), g.owner_id) == (2, 2)


def test_all_owners_are_listed_by_id(memory_app: Flask) -> None:
    with write_transaction() as connection:
        connection.execute(update(owner).where(owner.c.id == 1).values(name="zoe", seq=7))
    assert owners() == [(1, "zoe", 7), (2, "bruno", 0)]
