"""Sessions that end during a sync, and a second owner on the same phone."""

from __future__ import annotations

import sqlite3

import pytest

from tests.auth.conftest import WORDS, add_owners
from tests.conftest import dispose
from webapp import create_app

pytestmark = pytest.mark.browser

SYNC = "**/api/sync"
SIGN_IN = """
    const { keyHeader } = await import('/store/browser_key.js');
    const answer = await fetch('/api/sign-in', { method: 'POST',
      headers: { 'Content-Type': 'application/json', ...keyHeader() },
      body: JSON.stringify(value) });
    return answer.status;"""


def sign_in(driver, name):
    values = {"name": name, "passphrase": WORDS[name], "device_name": "a phone"}
    assert driver.run(SIGN_IN, values) == 200


def records_of(server, name):
    query = """SELECT count(*) FROM record JOIN owner ON owner.id = record.owner_id
               WHERE owner.name = ?"""
    with sqlite3.connect(server.file) as connection:
        [count] = connection.execute(query, (name,)).fetchone()
    connection.close()
    return count


def end_all_sessions(server):
    """End all sessions, like the owner on another device."""
    connection = sqlite3.connect(server.file, timeout=30)
    with connection:
        connection.execute("UPDATE sign_in SET ended_at = made_at + 1, ended_as = 'revoked'")
    connection.close()


@pytest.fixture
def app_with_owners(live_server):
    """Return the server with the owners Anna and Bruno."""
    app = create_app({"DATABASE_URL": f"sqlite:///{live_server.file}"})
    add_owners(app)
    dispose(app)
    return live_server


def test_unsent_records_are_kept_for_their_owner_only(app_with_owners, open_live_book):
    driver = open_live_book()
    driver.save_bottles(1_200)
    assert driver.sync() == "signin"
    sign_in(driver, "anna")
    passed = []

    def end_after_the_first(route):
        passed.append(1)
        if len(passed) == 2:
            end_all_sessions(app_with_owners)
        route.continue_()

    driver.page.route(SYNC, end_after_the_first)
    assert driver.sync() == "signin"
    driver.page.unroute_all()
    assert (len(driver.outbox()), records_of(app_with_owners, "anna")) == (700, 500)
    sign_in(driver, "bruno")
    assert driver.sync() == "signin"
    assert (len(driver.outbox()), driver.count("bottle")) == (700, 1_200)
    assert (records_of(app_with_owners, "anna"), records_of(app_with_owners, "bruno")) == (500, 0)
    sign_in(driver, "anna")
    assert driver.sync() == "done"
    assert (
        driver.outbox(),
        records_of(app_with_owners, "anna"),
        records_of(app_with_owners, "bruno"),
    ) == ([], 1_200, 0)
