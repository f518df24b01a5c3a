"""The number of requests that a sync makes, also over slow connections."""

from __future__ import annotations

import pytest

from tests.browser.store.conftest import books_at
from tests.browser.store.fault_proxy import wire_to

pytestmark = pytest.mark.browser

# Notes, and the most requests to send and to fetch them.
BUDGETS = ((2_000, 5, 3), pytest.param(10_000, 25, 15, marks=pytest.mark.extended))
# Tastings of about 1.2 KB each in a request, with clocks.
SAVE = """
    for (let start = 0; start < value; start += 1_000) {
      await book.saveMany(Array.from({ length: 1_000 }, (_, n) => ({
        kind: 'tasting', id: book.newId(), fields: {
          place: `Invented cellar ${(start + n) % 40}`,
          words: `note ${start + n} `.padEnd(560, 'plum '),
          sip_words: ['lemon', '~wet slate'], liking: n % 9 + 1, body: 4, acidity: 6, tannin: 2,
        } })));
    }"""


def asked(driver):
    """Record the paths under /api/ of all later requests."""
    paths = []

    def note(request):
        path = request.url.removeprefix(driver.url)
        if path.startswith("/api/"):
            paths.append(path)

    driver.page.on("request", note)
    return paths


@pytest.mark.parametrize("delay_s", [pytest.param(0.1, marks=pytest.mark.extended), 0.4])
def test_one_note_takes_at_most_two_requests(browser, live_server, delay_s):
    with wire_to(live_server.port) as (wire, url), books_at(browser, url) as open_book:
        driver = open_book()
        assert driver.sync() == "done"
        driver.run("await book.refreshPalate()")
        network = driver.context.new_cdp_session(driver.page)
        network.send("Network.enable")
        slow = {"latency": 50, "downloadThroughput": 50_000, "uploadThroughput": 20_000}
        network.send("Network.emulateNetworkConditions", {"offline": False, **slow})
        wire.delay_s = delay_s
        paths = asked(driver)
        driver.save("tasting", {"words": "one note"})
        assert driver.sync() == "done"
        driver.run("await book.refreshPalate()")
        assert driver.outbox() == []
        assert paths.count("/api/sync") == 1
        assert len(set(paths)) <= 2


@pytest.mark.parametrize(("notes", "most_up", "most_down"), BUDGETS)
def test_notes_stay_within_the_request_budget(two_phones, notes, most_up, most_down):
    one, other = two_phones
    one.run(SAVE, notes)
    size = one.run("return JSON.stringify(await book.db.outbox.limit(1).first()).length")
    assert 1_100 < size < 1_400
    up, down = asked(one), asked(other)
    assert one.sync() == "done"
    assert other.sync() == "done"
    assert (one.outbox(), other.count("tasting")) == ([], notes)
    assert up.count("/api/sync") <= most_up
    assert down.count("/api/sync") <= most_down
