"""Sync between phones and server: convergence, lost responses, and several tabs."""

from __future__ import annotations

import pytest
from playwright.sync_api import Request

from tests.browser.waiting import wait_until

pytestmark = pytest.mark.browser

SYNC = "**/api/sync"
ALL_SENT = "await book.db.outbox.count() === 0"


@pytest.mark.extended
def test_records_saved_offline_are_synced_later(driver, open_book):
    driver.context.set_offline(True)
    id_ = driver.save("tasting", {"liking": 8, "words": "in the cellar"})
    assert driver.sync() == "waiting"
    assert (driver.state()["phase"], len(driver.outbox())) == ("waiting", 1)
    driver.context.set_offline(False)
    assert driver.sync() == "done"
    assert driver.outbox() == []
    other = open_book()
    other.sync()
    assert other.fields("tasting", id_) == {"liking": 8, "words": "in the cellar"}


@pytest.mark.extended
def test_repeated_request_after_a_lost_response_is_safe(driver, open_book):
    lost = []

    def lose_first_answer(route):
        if lost:
            route.continue_()
            return
        lost.append(route.fetch().json())
        route.abort("connectionreset")

    id_ = driver.save("bottle", {"name": "Invented No. 3"})
    driver.page.route(SYNC, lose_first_answer)
    assert driver.sync() == "waiting"
    assert len(driver.outbox()) == 1
    with driver.page.expect_response(SYNC) as second:
        assert driver.sync() == "done"
    assert lost[0]["outcomes"] == [{"id": id_, "outcome": "applied"}]
    assert second.value.json()["outcomes"] == [{"id": id_, "outcome": "duplicate"}]
    other = open_book()
    other.sync()
    assert other.count("bottle") == 1


@pytest.mark.extended
def test_many_records_are_pushed_and_pulled(two_phones):
    one, other = two_phones
    one.save_bottles(1_203)
    requests = []
    one.page.on("request", lambda request: requests.append(request.url))
    assert one.sync() == "done"
    assert len([url for url in requests if url.endswith("/api/sync")]) == 3
    assert other.sync() == "done"
    assert other.count("bottle") == 1_203
    assert one.outbox() == other.outbox() == []


@pytest.mark.extended
def test_rejected_record_does_not_block_others(two_phones):
    one, other = two_phones
    one.save_bottles(20)
    bad = one.save("bottle", {"name": "Invented No. 99", "volume_ml": 750})
    one.run(
        """await book.db.outbox.update(value, { 'fields.volume_ml': 7 });
           await book.db.bottle.update(value, { 'fields.volume_ml': 7 });""",
        bad,
    )
    assert one.sync() == "done"
    one.run("book.startSync()")
    one.until("book.syncStatus.value.rejected.length === 1")
    assert one.state()["rejected"] == [
        {"kind": "bottle", "id": bad, "errors": {"volume_ml": [{"code": "too_low", "bound": 20}]}}
    ]
    other.sync()
    assert other.count("bottle") == 20
    one.save("bottle", {"volume_ml": 750}, bad)
    assert one.sync() == "done"
    assert one.outbox() == []
    other.sync()
    assert other.fields("bottle", bad) == {"name": "Invented No. 99", "volume_ml": 750}


@pytest.mark.extended
def test_concurrent_edits_converge_and_keep_revisions(two_phones):
    one, other = two_phones
    id_ = one.save("tasting", {"words": "first"})
    one.sync()
    other.sync()
    one.save("tasting", {"words": "by one", "liking": 6}, id_)
    other.save("tasting", {"words": "by the other", "body": 4}, id_)
    other.sync()
    one.sync()
    other.sync()
    assert one.row("tasting", id_) == other.row("tasting", id_)
    assert one.fields("tasting", id_) == {"words": "by the other", "liking": 6, "body": 4}
    earlier = one.run("return book.fetchRevisions('tasting', value)", id_)
    assert earlier["fresh"]
    assert {revision["value"] for revision in earlier["revisions"]} == {"first", "by one"}


def test_pulled_record_is_merged_with_unsent_edits(two_phones):
    one, other = two_phones
    id_ = one.save("tasting", {"words": "first", "liking": 5})
    one.sync()
    other.sync()
    other.save("tasting", {"liking": 7}, id_)
    other.sync()

    items = []
    one.page.route(SYNC, lambda route: items.append((route, route.fetch())))
    one.run("globalThis.syncing = book.syncNow()")
    wait_until(one.page, lambda: items, "the request that is held back")
    one.save("tasting", {"words": "while it was on its way"}, id_)
    route, response = items[0]
    route.fulfill(response=response)
    one.page.unroute(SYNC)
    one.run("await syncing")
    assert one.fields("tasting", id_) == {"words": "while it was on its way", "liking": 7}
    one.sync()
    other.sync()
    assert other.row("tasting", id_) == one.row("tasting", id_)


@pytest.mark.extended
def test_later_edit_restores_a_record_removed_elsewhere(two_phones):
    one, other = two_phones
    id_ = one.save("bottle", {"name": "Invented No. 3"})
    one.sync()
    other.sync()
    one.run("await book.remove('bottle', value)", id_)
    one.sync()
    other.sync()
    assert other.row("bottle", id_)["gone"] == 1
    other.save("bottle", {"name": "Invented No. 4"}, id_)
    other.sync()
    one.sync()
    assert (one.row("bottle", id_)["gone"], one.fields("bottle", id_)["name"]) == (
        0,
        "Invented No. 4",
    )


@pytest.mark.several_tabs
def test_two_tabs_sync_in_turn(open_book):
    one = open_book()
    other = open_book(one.context)
    one.save_bottles(700)
    running: list[Request] = []
    most = []

    def begins(request):
        if request.url.endswith("/api/sync"):
            running.append(request)
            most.append(len(running))

    def ends(request):
        if request in running:
            running.remove(request)

    one.context.on("request", begins)
    one.context.on("requestfinished", ends)
    for tab in (one, other):
        tab.run("globalThis.syncing = book.syncNow()")
    assert [tab.run("return syncing") for tab in (one, other)] == ["done", "done"]
    assert max(most) == 1
    assert one.outbox() == []


@pytest.mark.several_tabs
def test_two_tabs_without_locks_converge(open_book):
    one = open_book()
    other = open_book(one.context)
    third = open_book()
    one.save_bottles(700)
    for tab in (one, other):
        tab.run("Object.defineProperty(navigator, 'locks', { value: undefined })")
        tab.run("globalThis.syncing = book.syncNow()")
    for tab in (one, other):
        tab.run("await syncing")
    one.sync()
    third.sync()
    assert (one.count("bottle"), third.count("bottle"), one.outbox()) == (700, 700, [])


@pytest.mark.several_tabs
def test_another_tab_takes_over_sync_after_a_crash(open_book):
    one = open_book()
    other = open_book(one.context)
    one.save_bottles(30)
    one.page.route(SYNC, lambda route: None)
    with one.page.expect_request(SYNC):
        one.run("globalThis.syncing = book.syncNow()")
    other.run("book.startSync()")
    other.until("book.syncStatus.value.unsent === 30")
    one.page.close()
    # The browser releases the lock of the closed tab, and the waiting tab acquires it.
    other.until("book.syncStatus.value.unsent === 0")
    assert other.outbox() == []


def test_failed_page_leaves_the_cursor_unchanged(two_phones):
    one, other = two_phones
    one.save_bottles(30)
    one.sync()
    other.sync()
    before = other.meta("server")["cursor"]
    one.save_bottles(30)
    one.sync()
    other.run("""
        const put = IDBObjectStore.prototype.put;
        globalThis.mend = () => { IDBObjectStore.prototype.put = put; };
        IDBObjectStore.prototype.put = function (row, ...rest) {
          if (row.name === 'server') throw new Error('the phone stumbles');
          return put.call(this, row, ...rest);
        };""")
    assert other.sync() == "waiting"
    assert (other.meta("server")["cursor"], other.count("bottle")) == (before, 30)
    other.run("mend()")
    assert other.sync() == "done"
    assert other.count("bottle") == 60


def test_save_makes_one_request_and_idle_none(driver):
    driver.run("timing.after_save_ms = 50")
    driver.run("book.startSync()")
    driver.until("book.syncStatus.value.lastSynced !== null")
    requests = []
    driver.page.on("request", lambda request: requests.append(request.url))
    driver.save("visit", {"name": "Invented cellar"})
    driver.until(ALL_SENT)
    # Any extra request of the first save would come before the request of the second.
    driver.save("visit", {"name": "Another cellar"})
    driver.until(ALL_SENT)
    assert [url.rsplit("/", 1)[1] for url in requests] == ["sync", "sync"]


@pytest.mark.extended
def test_pour_counts_as_one_unsent_note(driver):
    driver.context.set_offline(True)
    driver.run("book.startSync()")
    bottle = driver.save("bottle", {"name": "Invented No. 3"})
    driver.until("book.syncStatus.value.unsent === 1")
    assert (driver.state()["notes"], driver.state()["changes"]) == (0, 1)
    visit = driver.save("visit", {"name": "Invented cellar"})
    for words in ("first", "second"):
        driver.save("tasting", {"bottle": bottle, "visit": visit, "words": words})
    driver.until("book.syncStatus.value.unsent === 4")
    assert (driver.state()["notes"], driver.state()["changes"]) == (2, 0)
    driver.run("await book.db.outbox.where({ kind: 'tasting' }).limit(1).modify({ held: 1 })")
    driver.until("book.syncStatus.value.rejected.length === 1")
    assert (driver.state()["unsent"], driver.state()["notes"]) == (3, 1)
