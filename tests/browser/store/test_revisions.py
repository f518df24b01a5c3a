"""Values replaced before their first upload: stored as revisions, or dropped as drafts."""

from __future__ import annotations

import pytest

pytestmark = pytest.mark.browser

SYNC = "**/api/sync"
LATER = "const { now } = Date; Date.now = () => now() + value;"
MINUTES_MS = 2 * 60_000


def values_in_the_log(driver, id_):
    revisions = driver.run("return (await book.fetchRevisions('tasting', value)).revisions", id_)
    return [one["value"] for one in sorted(revisions, key=lambda one: one["clock"])]


def sizes_of_requests(driver):
    """Record the number of changes in each later sync request."""
    sizes = []
    driver.run("delete globalThis.CompressionStream")

    def note(request):
        if request.url.endswith("/api/sync"):
            sizes.append(len(request.post_data_json["changes"]))

    driver.page.on("request", note)
    return sizes


@pytest.mark.extended
def test_typing_in_sequence_leaves_no_revision(driver):
    id_ = driver.save("tasting", {"words": "p"})
    for words in ("pl", "plu", "plum"):
        driver.save("tasting", {"words": words}, id_)
    [row] = driver.outbox()
    assert "earlier" not in row
    assert driver.sync() == "done"
    assert (driver.fields("tasting", id_)["words"], values_in_the_log(driver, id_)) == ("plum", [])


@pytest.mark.extended
def test_value_older_than_a_minute_becomes_a_revision(two_phones):
    one, other = two_phones
    one.context.set_offline(True)
    id_ = one.save("tasting", {"words": "on Monday", "liking": 5})
    for words in ("on Tuesday", "on Wednesday"):
        one.run(LATER, MINUTES_MS)
        one.save("tasting", {"words": words}, id_)
    one.save("tasting", {"words": "on Wednesday evening"}, id_)
    assert len(one.outbox()) == 1
    one.context.set_offline(False)
    sizes = sizes_of_requests(one)
    assert one.sync() == "done"
    assert (sizes, one.outbox()) == ([3], [])
    other.sync()
    assert other.row("tasting", id_) == one.row("tasting", id_)
    assert one.fields("tasting", id_) == {"words": "on Wednesday evening", "liking": 5}
    assert values_in_the_log(other, id_) == ["on Monday", "on Tuesday"]


@pytest.mark.extended
def test_reload_ends_the_recent_write(driver):
    id_ = driver.save("tasting", {"words": "before"})
    driver.open()
    driver.save("tasting", {"words": "after"}, id_)
    driver.sync()
    assert values_in_the_log(driver, id_) == ["before"]


@pytest.mark.extended
def test_clock_set_back_keeps_the_revision(driver):
    id_ = driver.save("tasting", {"words": "before"})
    driver.run(LATER, -24 * 3600 * 1000)
    driver.save("tasting", {"words": "after"}, id_)
    driver.save("tasting", {"words": "after that"}, id_)
    driver.sync()
    assert values_in_the_log(driver, id_) == ["before"]


@pytest.mark.extended
def test_undone_removal_is_in_the_revision_log(driver):
    id_ = driver.save("tasting", {"words": "plums"})
    driver.run("await book.remove('tasting', value)", id_)
    driver.run(LATER, MINUTES_MS)
    driver.run("await book.restore('tasting', value)", id_)
    driver.sync()
    assert (driver.row("tasting", id_)["gone"], values_in_the_log(driver, id_)) == (0, [True])


@pytest.mark.extended
def test_revisions_survive_a_lost_response_once(driver):
    driver.run("timing.draft_ms = 0")
    id_ = driver.save("tasting", {"words": "first"})
    driver.save("tasting", {"words": "second"}, id_)

    def lose(route):
        route.fetch()
        route.abort("connectionreset")

    driver.page.route(SYNC, lose, times=1)
    assert driver.sync() == "waiting"
    driver.save("tasting", {"words": "third"}, id_)
    assert driver.sync() == "done"
    assert (driver.outbox(), values_in_the_log(driver, id_)) == ([], ["first", "second"])


@pytest.mark.extended
def test_request_never_exceeds_the_maximum_changes(driver):
    driver.run("timing.draft_ms = 0; timing.max_push = 10")
    ids = [driver.save("tasting", {"words": "first"}) for _ in range(4)]
    for words in ("second", "third", "fourth"):
        for id_ in ids:
            driver.save("tasting", {"words": words}, id_)
    sizes = sizes_of_requests(driver)
    assert driver.sync() == "done"
    assert (sum(sizes), max(sizes), driver.outbox()) == (16, 10, [])
    for id_ in ids:
        assert values_in_the_log(driver, id_) == ["first", "second", "third"]


@pytest.mark.extended
def test_revision_clocks_years_ahead_are_corrected(two_phones):
    one, other = two_phones
    one.run(LATER, 10 * 365 * 24 * 3600 * 1000)
    one.run("timing.draft_ms = 0")
    id_ = one.save("tasting", {"words": "first"})
    one.save("tasting", {"words": "second"}, id_)
    assert one.sync() == "done"
    other.sync()
    assert other.fields("tasting", id_)["words"] == "second"
    assert values_in_the_log(other, id_) == ["first"]


@pytest.mark.extended
def test_replaced_server_receives_pending_revisions(two_phones):
    one, other = two_phones
    one.run("timing.draft_ms = 0")
    id_ = one.save("tasting", {"words": "first"})
    one.sync()
    one.save("tasting", {"words": "second"}, id_)
    one.save("tasting", {"words": "third"}, id_)
    one.run("await book.db.meta.update('server', { token: 'of another day' })")
    assert one.sync() == "done"
    other.sync()
    assert (one.outbox(), other.fields("tasting", id_)["words"]) == ([], "third")
    assert values_in_the_log(other, id_) == ["first", "second"]


@pytest.mark.extended
def test_rejected_revision_does_not_block_the_note(two_phones):
    one, other = two_phones
    one.run("timing.draft_ms = 0")
    id_ = one.save("tasting", {"liking": 5})
    one.save("tasting", {"liking": 6}, id_)
    one.run("await book.db.outbox.update(value, { 'earlier.0.fields.liking': 70 })", id_)
    assert one.sync() == "done"
    other.sync()
    assert (one.outbox(), other.fields("tasting", id_)) == ([], {"liking": 6})
