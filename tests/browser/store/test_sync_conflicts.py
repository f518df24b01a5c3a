"""Conflicting edits of two phones, and records that the server cannot store."""

from __future__ import annotations

import json
import time

import pytest

from webapp import create_app
from webapp.auth.owners import set_current_owner
from webapp.db.engine import db, write_transaction
from webapp.retention.deleted_values import purge_deleted_values

pytestmark = pytest.mark.browser

DAY_MS = 86_400_000
DELETE = "await book.remove('tasting', value)"
DEEDS = {
    "other fields": ({"liking": 6}, {"body": 4}),
    "one field": ({"words": "by one"}, {"words": "by the other"}),
    "edit and deletion": ({"words": "by one"}, None),
    "deletion and edit": (None, {"words": "by the other"}),
    "two deletions": (None, None),
}


def do(phone, id_, deed):
    if deed is None:
        phone.run(DELETE, id_)
    else:
        phone.save("tasting", deed, id_)


def said_in(phone, id_):
    """Return the current value of `words` and the values of its revisions."""
    revisions = phone.run("return (await book.fetchRevisions('tasting', value)).revisions", id_)
    return {one["value"] for one in revisions} | {phone.fields("tasting", id_).get("words")}


def purge_as_if_later(server):
    """Run the daily purge of tomorrow and of 31 days later; the system clock does not change.

    The server has stored today's sequence number when it started.
    """
    app = create_app({"DATABASE_URL": f"sqlite:///{server.file}"})
    with app.test_request_context():
        set_current_owner(1)
        tomorrow_ms = time.time_ns() // 1_000_000 + DAY_MS
        purge_deleted_values(write_transaction, 1, 0, tomorrow_ms)
        found = purge_deleted_values(write_transaction, 1, 0, tomorrow_ms + 31 * DAY_MS)
        db.engine.dispose()
    return found


@pytest.mark.extended
def test_values_of_an_old_deletion_leave_every_phone(two_phones, shared_server):
    one, other = two_phones
    id_ = one.save("tasting", {"words": "a secret", "liking": 7})
    one.save("tasting", {"words": "another secret"}, id_)
    for phone in two_phones:
        phone.sync()
    # Reading the revisions puts them into the cache of the phone.
    assert said_in(other, id_) >= {"another secret"}
    other.run(DELETE, id_)
    for phone in (other, one):
        phone.sync()
    assert one.fields("tasting", id_)["liking"] == 7
    assert ("tasting", id_) in purge_as_if_later(shared_server)
    for phone in (one, other, one):
        assert phone.sync() == "done"
    rows = [phone.row("tasting", id_) for phone in two_phones]
    assert rows[0] == rows[1]
    assert rows[0]["fields"] == {"words": None, "liking": None}
    assert rows[0]["gone"] == 1
    assert said_in(one, id_) == {None}
    for phone in two_phones:
        assert phone.outbox() == []
        assert "secret" not in json.dumps(phone.run("return await book.db.cache.toArray()"))


@pytest.mark.extended
@pytest.mark.parametrize("deed", ["edit", "restore"])
def test_note_brought_back_after_its_purge_is_whole(two_phones, shared_server, deed):
    one, other = two_phones
    id_ = one.save("tasting", {"words": "all of it", "liking": 7})
    for phone in two_phones:
        phone.sync()
    other.run(DELETE, id_)
    other.sync()
    if deed == "restore":
        one.sync()
    assert ("tasting", id_) in purge_as_if_later(shared_server)
    if deed == "restore":
        one.run("await book.restore('tasting', value)", id_)
    else:
        one.save("tasting", {"words": "more of it"}, id_)
    for phone in (one, other, one):
        assert phone.sync() == "done"
    rows = [phone.row("tasting", id_) for phone in two_phones]
    assert rows[0] == rows[1]
    words = "all of it" if deed == "restore" else "more of it"
    assert (rows[0]["fields"], rows[0]["gone"]) == ({"words": words, "liking": 7}, 0)
    assert [phone.outbox() for phone in two_phones] == [[], []]


def test_both_sync_orders_converge_to_equal_bytes(two_phones, open_book):
    third = open_book()
    for deeds in DEEDS.values():
        sync_in_both_orders(two_phones, third, deeds)


def sync_in_both_orders(phones, third, deeds):
    ids = [phones[0].save("tasting", {"words": "first"}) for _ in range(2)]
    for phone in (*phones, third):
        phone.sync()
    for phone, deed in zip(phones, deeds, strict=True):
        for id_ in ids:
            do(phone, id_, deed)
    # One note syncs from the first phone first, the other note from the second phone first.
    for first, second, id_ in ((0, 1, ids[0]), (1, 0, ids[1])):
        for number in (first, second):
            apart = "await book.db.outbox.where('id').notEqual(value).modify({ held: 1 })"
            phones[number].run(apart, id_)
            assert phones[number].sync() == "done"
            phones[number].run("await book.db.outbox.toCollection().modify({ held: 0 })")
    for phone in (*phones, third):
        phone.sync()
    for id_ in ids:
        rows = [json.dumps(phone.row("tasting", id_), sort_keys=True) for phone in (*phones, third)]
        assert len(set(rows)) == 1
        texts = {deed["words"] for deed in deeds if deed and "words" in deed}
        assert texts | {"first"} <= said_in(third, id_) | {third.fields("tasting", id_)["words"]}
    one, other = (third.row("tasting", id_) for id_ in ids)
    assert (one["fields"], one["gone"]) == (other["fields"], other["gone"])
    assert all(phone.outbox() == [] for phone in phones)


BAD = {
    "NUL": ("words", "'a\\u0000b'", "bad_character"),
    "lone surrogate": ("words", "'a\\ud800b'", "bad_character"),
    "too large": ("words", "'x'.repeat(300_000)", "too_long"),
    "text for a number": ("liking", "'seven'", "not_integer"),
    "deep": ("moon", "JSON.parse('['.repeat(40) + ']'.repeat(40))", "too_deep"),
}


@pytest.mark.extended
def test_invalid_records_are_quarantined_and_others_sync(two_phones):
    one, other = two_phones
    one.save_bottles(500 - len(BAD))
    values = {}
    for field, value, code in BAD.values():
        id_ = one.save("tasting", {"place": "here"})
        values[id_] = (field, code)
        one.run(
            f"""const change = {{ 'fields.{field}': {value}, 'clocks.{field}':
                  (await book.db.outbox.get(value)).clocks.place }};
                await book.db.outbox.update(value, change);
                await book.db.tasting.update(value, change);
            """,
            id_,
        )
    assert one.sync() == "done"
    found = {
        row["id"]: (name, errors[0]["code"])
        for row in one.outbox()
        for name, errors in row["errors"].items()
    }
    assert (found, {row["held"] for row in one.outbox()}) == (values, {1})
    other.sync()
    assert (other.count("bottle"), other.count("tasting")) == (500 - len(BAD), 0)


@pytest.mark.extended
def test_non_finite_number_is_never_stored(driver):
    code = driver.run(
        """return book.save('tasting', book.newId(), { liking: NaN })
             .then(() => null, (error) => error.errors.liking[0].code)"""
    )
    assert (code, driver.count("tasting"), driver.outbox()) == ("not_integer", 0, [])


@pytest.mark.extended
def test_record_over_the_quota_is_sent_after_a_restart(driver):
    """The server's quota may be raised meanwhile; nobody needs to touch the note again."""
    assert driver.sync() == "done"
    id_ = driver.save("tasting", {"words": "no room for this"})
    error = {"record": [{"code": "too_many_records", "bound": 1}]}

    def refuse(route):
        answer = route.fetch(post_data=json.dumps({**route.request.post_data_json, "changes": []}))
        body = {**answer.json(), "outcomes": [{"id": id_, "outcome": "refused", "errors": error}]}
        route.fulfill(response=answer, json=body)

    driver.page.route("**/api/sync", refuse, times=1)
    assert driver.sync() == "done"
    assert [(row["held"], row["errors"]) for row in driver.outbox()] == [(1, error)]
    assert driver.sync() == "done"
    assert len(driver.outbox()) == 1
    driver.open()
    assert driver.sync() == "done"
    assert driver.outbox() == []
