"""Phones that were offline for a year, copied, corrupted on disk or killed during sync."""

from __future__ import annotations

import shutil

import pytest

from tests.browser.store.test_crash import kill_browser_of
from tests.browser.waiting import wait_until

pytestmark = pytest.mark.browser

SYNC = "**/api/sync"
YEAR_MS = 365 * 24 * 3600 * 1000
A_YEAR_LATER = "const { now } = Date; Date.now = () => now() + value;"


def copy_of(profile, target):
    return shutil.copytree(profile, target, ignore=shutil.ignore_patterns("Singleton*"))


@pytest.fixture
def away(start_phone, tmp_path):
    """Return a function that restarts a phone whose three notes are on the server."""
    profile = tmp_path / "away"
    one = start_phone(profile)
    ids = [one.save("tasting", {"words": f"note {n}"}) for n in range(3)]
    one.sync()
    one.context.close()
    return lambda: (start_phone(profile), ids)


def test_deletions_and_later_edits_merge_after_a_year(away, open_live_book):
    _, ids = phone, (deleted, edited_before, edited_after) = away()
    # Edited offline before the other phone deletes it, so the deletion is newer.
    phone.context.set_offline(True)
    phone.save("tasting", {"body": 3}, edited_before)
    phone.context.close()
    other = open_live_book()
    other.sync()
    for id_ in ids:
        other.run("await book.remove('tasting', value)", id_)
    other.sync()
    again, _ = away()
    again.run(A_YEAR_LATER, YEAR_MS)
    again.save("tasting", {"words": "still mine"}, edited_after)
    for driver in (again, other, again):
        assert driver.sync() == "done"
    gone = {id_: again.row("tasting", id_)["gone"] for id_ in ids}
    assert gone == {deleted: 1, edited_before: 1, edited_after: 0}
    assert again.fields("tasting", edited_after)["words"] == "still mine"
    for id_ in ids:
        assert again.row("tasting", id_) == other.row("tasting", id_)
    assert (again.outbox(), other.fields("tasting", edited_before)["body"]) == ([], 3)


def test_copied_phones_are_separated_and_both_sync(away, start_phone, open_live_book, tmp_path):
    profile = tmp_path / "away"
    copy = copy_of(profile, tmp_path / "copy")
    first, ids = away()
    first.save("tasting", {"words": "by the first"}, ids[0])
    new = first.save("bottle", {"name": "Invented No. 1"})
    for _ in range(2):
        assert first.sync() == "done"
    second = start_phone(copy)
    second.save("tasting", {"words": "by the second"}, ids[0])
    other_new = second.save("bottle", {"name": "Invented No. 2"})
    for driver in (second, first, second, first):
        assert driver.sync() == "done"
    assert first.meta("clock")["device"] != second.meta("clock")["device"]
    reader = open_live_book()
    reader.sync()
    for driver in (first, second, reader):
        assert driver.outbox() == []
        assert driver.fields("tasting", ids[0]) == {"words": "by the second"}
        assert driver.fields("bottle", new) == {"name": "Invented No. 1"}
        assert driver.fields("bottle", other_new) == {"name": "Invented No. 2"}
    revisions = reader.run("return (await book.fetchRevisions('tasting', value)).revisions", ids[0])
    assert {one["value"] for one in revisions} == {"note 0", "by the first"}


def test_damaged_database_is_reported_and_restored(start_phone, tmp_path):
    profile = tmp_path / "one"
    one = start_phone(profile)
    sent = one.save("tasting", {"words": "sent"})
    one.run("book.startSync()")
    one.until("book.syncStatus.value.lastSynced !== null && book.syncStatus.value.unsent === 0")
    one.context.set_offline(True)
    one.save("tasting", {"words": "unsent"})
    one.until("book.syncStatus.value.unsent === 1")
    device = one.meta("clock")["device"]
    one.context.close()
    [disk] = (profile / "Default" / "IndexedDB").glob("*.leveldb")
    for file in disk.iterdir():
        if file.name != "LOCK":
            file.write_bytes(b"damaged" * 40)
    again = start_phone(profile)
    loss = again.run("return book.storageState.value.loss")
    assert loss["unsent"] == 1
    assert again.meta("clock")["device"] != device
    assert again.sync() == "done"
    assert (again.fields("tasting", sent), again.count("tasting")) == ({"words": "sent"}, 1)


@pytest.mark.parametrize(
    "answered",
    [
        pytest.param(False, id="request", marks=pytest.mark.extended),
        pytest.param(True, id="answer"),
    ],
)
def test_sync_resumes_after_a_browser_kill(start_phone, open_live_book, tmp_path, answered):
    profile = tmp_path / "one"
    one = start_phone(profile)
    one.save_bottles(700)
    items = []

    def hold_the_second(route):
        items.append(route.fetch() if answered or not items else None)
        if len(items) == 1:
            route.fulfill(response=items[0])

    one.page.route(SYNC, hold_the_second)
    one.run("globalThis.syncing = book.syncNow()")
    wait_until(one.page, lambda: len(items) == 2, "the second request")
    # The second request leaves before the first answer is applied.
    wait_until(one.page, lambda: len(one.outbox()) == 200, "the first answer")
    kill_browser_of(profile)
    again = start_phone(profile)
    assert len(again.outbox()) == 200
    assert again.sync() == "done"
    other = open_live_book()
    other.sync()
    assert (again.outbox(), again.count("bottle"), other.count("bottle")) == ([], 700, 700)
