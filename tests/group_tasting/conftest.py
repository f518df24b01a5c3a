"""Fixtures of a led tasting: a leader who has set a table with two hidden glasses, and a guest."""

from __future__ import annotations

import pytest
from flask import Flask

from tests.auth.conftest import add_owners, signed_in_client
from tests.group_tasting.evening import Guest, Leader


@pytest.fixture
def table_app(any_app: Flask) -> Flask:
    """Return a server with two owners, once on each database."""
    add_owners(any_app)
    return any_app


@pytest.fixture
def leader(table_app: Flask) -> Leader:
    leader = Leader(signed_in_client(table_app, "anna"))
    leader.set_table([{"name": "Zephyrhill"}, {"name": "Quarrybank"}], leader_name="Anna")
    return leader


@pytest.fixture
def guest(table_app: Flask, leader: Leader) -> Guest:
    """Return a guest who has joined by the link."""
    return Guest(table_app.test_client()).join(secret=leader.invite()["secret"])
