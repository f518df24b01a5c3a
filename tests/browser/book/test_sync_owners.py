"""A session that ends in the middle of the queue, and another owner on the same phone."""

from __future__ import annotations

import pytest

from tests.accounts.conftest import WORDS, add_owners
from webapp.db import db, reading
from webapp.db.tables import owner, record

pytestmark = pytest.mark.browser

SYNC = "**/api/sync"
SIGN_IN = """
    const answer = await fetch('/api/sign-in', { method: 'POST',
      headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(value) });
    return answer.status;"""


def sign_in(hand, name):
    told = {"name": name, "passphrase": WORDS[name], "device_name": "a phone"}
    assert hand.run(SIGN_IN, told) == 200


def records_of(app, name):
    with app.app_context():
        with reading() as connection:
            rows = connection.execute(
                record.join(owner, owner.c.id == record.c.owner_id)
                .select()
                .where(owner.c.name == name)
            ).all()
        db.engine.dispose()
    return len(rows)


def test_a_session_that_ends_in_the_queue_holds_the_rest_for_its_owner_alone(app, open_book):
    add_owners(app)
    hand = open_book()
    hand.save_bottles(1_200)
    assert hand.sync() == "signin"
    sign_in(hand, "anna")
    passed = []

    def end_after_the_first(route):
        passed.append(1)
        if len(passed) == 2:
            hand.context.clear_cookies()
            headers = {k: v for k, v in route.request.headers.items() if k != "cookie"}
            route.fulfill(response=route.fetch(headers=headers))
        else:
            route.continue_()

    hand.page.route(SYNC, end_after_the_first)
    assert hand.sync() == "signin"
    hand.page.unroute_all()
    assert (len(hand.outbox()), records_of(app, "anna")) == (700, 500)
    sign_in(hand, "bruno")
    assert hand.sync() == "signin"
    assert (len(hand.outbox()), hand.count("bottle")) == (700, 1_200)
    assert (records_of(app, "anna"), records_of(app, "bruno")) == (500, 0)
    sign_in(hand, "anna")
    assert hand.sync() == "done"
    assert (hand.outbox(), records_of(app, "anna"), records_of(app, "bruno")) == ([], 1_200, 0)
