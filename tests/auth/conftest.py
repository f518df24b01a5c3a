"""Fixtures for two owners with passphrases and for browsers that are not signed in."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from tests.memory_database import (  # noqa: F401
    WORDS,
    connection,
    memory_app,
    memory_engine,
    memory_hashes,
    shared_memory_app,
)
from webapp.auth.owners import add_owner
from webapp.db.engine import write_transaction

KEY = "the key of a browser in these tests"
Enter = Callable[..., FlaskClient]


def add_owners(app: Flask) -> None:
    """Add Anna and Bruno, each with an empty notebook and the passphrase in WORDS."""
    with app.app_context(), write_transaction() as opened:
        for name, words in WORDS.items():
            add_owner(opened, name, words)


@pytest.fixture
def shared_app(any_app: Flask) -> Flask:
    """Return a server with two owners, once on each database."""
    add_owners(any_app)
    return any_app


@pytest.fixture
def sqlite_app(app: Flask) -> Flask:
    """Return a server with two owners on SQLite."""
    add_owners(app)
    return app


def browser(app: Flask, key: str = KEY) -> FlaskClient:
    """Return a browser with its own key and no session."""
    client = app.test_client()
    client.environ_base["HTTP_SECOND_NOSE_KEY"] = key
    return client


def signed_in_client(app: Flask, name: str, **parts: Any) -> FlaskClient:
    """Return a browser that has just signed in."""
    client = browser(app)
    given = {"name": name, "passphrase": WORDS[name], "device_name": f"{name}'s phone"}
    answer = client.post("/api/sign-in", json={**given, **parts})
    assert answer.status_code == 200, answer.text
    return client
