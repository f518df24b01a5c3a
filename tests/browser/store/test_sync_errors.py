"""Failed sync requests: portals, proxies, errors, timeouts and limits lose no record."""

from __future__ import annotations

import json

import pytest

pytestmark = pytest.mark.browser

SYNC = "**/api/sync"
PROBLEM = "application/problem+json"
REQUEST_TIMES = """return performance.getEntriesByType('resource')
  .filter(({ name }) => name.endsWith('/api/sync'))
  .map(({ startTime, responseEnd }) => ({ startTime, responseEnd }));"""


def answer_once(page, **answer):
    """Fulfill the next sync request without the server."""
    page.route(SYNC, lambda route: route.fulfill(**answer), times=1)


PORTAL_PAGE = {"status": 200, "content_type": "text/html", "body": "<html>Pay to go on</html>"}
FOREIGN = {
    "other json": {"status": 200, "content_type": "application/json", "body": '{"welcome": true}'},
    "cut off": {"status": 200, "content_type": "application/json", "body": '{"format": 1, "epoch"'},
    "redirect": {"status": 302, "headers": {"Location": "/"}},
    "portal 401": {"status": 401, "content_type": "text/html", "body": "<html>Room number?</html>"},
    "not found": {"status": 404, "content_type": PROBLEM, "body": "{}"},
    "gateway": {"status": 502, "content_type": "text/html", "body": "bad gateway"},
}
EXTENDED = [pytest.param(FOREIGN[name], id=name, marks=pytest.mark.extended) for name in FOREIGN]


@pytest.mark.parametrize("answer", [pytest.param(PORTAL_PAGE, id="portal"), *EXTENDED])
def test_foreign_response_counts_as_offline(driver, answer):
    driver.save("bottle", {"name": "Invented No. 3"})
    answer_once(driver.page, **answer)
    assert driver.sync() == "waiting"
    [unsent] = driver.outbox()
    assert (unsent["held"], unsent["tries"]) == (0, 0)
    assert driver.sync() == "done"
    assert driver.outbox() == []


@pytest.mark.extended
def test_queue_is_paused_until_sign_in(driver):
    driver.save("bottle", {"name": "Invented No. 3"})
    body = json.dumps({"code": "signed_out", "status": 401})
    answer_once(driver.page, status=401, content_type=PROBLEM, body=body)
    assert driver.sync() == "signin"
    assert driver.state()["phase"] == "signin"
    assert len(driver.outbox()) == 1
    assert driver.sync() == "done"


@pytest.mark.extended
@pytest.mark.parametrize(
    "answer",
    [
        {"status": 409, "content_type": PROBLEM, "body": '{"code": "format"}'},
        {"status": 426, "content_type": PROBLEM, "body": "{}"},
        {"status": 200, "content_type": "application/json", "body": '{"format": 2}'},
    ],
    ids=["problem", "upgrade", "newer answer"],
)
def test_unsupported_format_asks_for_an_update(driver, answer):
    id_ = driver.save("bottle", {"name": "Invented No. 3"})
    answer_once(driver.page, **answer)
    assert driver.sync() == "update"
    driver.save("bottle", {"name": "Invented No. 4"}, id_)
    assert driver.outbox()[0]["fields"] == {"name": "Invented No. 4"}


def test_batch_that_is_too_large_is_halved(driver):
    driver.save_bottles(40)
    sizes = []

    def small_only(route):
        size = len(json.loads(route.request.post_data_buffer)["changes"])
        sizes.append(size)
        if size > 12:
            route.fulfill(status=413, content_type="text/html", body="too large")
        else:
            route.continue_()

    driver.run("delete globalThis.CompressionStream")
    driver.page.route(SYNC, small_only)
    assert driver.sync() == "done"
    assert sizes[:3] == [40, 20, 10]
    assert driver.outbox() == []


@pytest.mark.extended
def test_record_over_the_proxy_limit_is_quarantined(driver):
    driver.save_bottles(3)
    bad = driver.save("bottle", {"words": "x" * 2_000})
    driver.run("delete globalThis.CompressionStream")
    driver.page.route(
        SYNC,
        lambda route: (
            route.fulfill(status=413, content_type="text/html", body="too large")
            if len(route.request.post_data_buffer) > 2_000
            else route.continue_()
        ),
    )
    assert driver.sync() == "done"
    [held] = driver.outbox()
    assert (held["id"], held["held"]) == (bad, 1)
    assert held["errors"] == {"record": [{"code": "too_big_to_send"}]}


@pytest.mark.parametrize("status", [503, pytest.param(429, marks=pytest.mark.extended)])
def test_busy_server_is_given_its_retry_after(driver, status):
    driver.save("bottle", {"name": "Invented No. 3"})
    driver.run("timing.backoff_first_ms = 10")
    answer_once(driver.page, status=status, headers={"Retry-After": "1"}, body="later")
    assert driver.sync() == "waiting"
    driver.until("book.syncStatus.value.phase === 'idle'")
    first, second = driver.run(REQUEST_TIMES)
    assert second["startTime"] - first["responseEnd"] >= 1_000
    assert driver.outbox() == []


def test_record_that_crashes_the_server_is_postponed_alone(driver, open_book):
    driver.save_bottles(30)
    bad = driver.save("bottle", {"name": "the one"})

    def break_over_one(route):
        if "the one" in route.request.post_data_buffer.decode():
            route.fulfill(status=500, content_type=PROBLEM, body="{}")
        else:
            route.continue_()

    driver.run("delete globalThis.CompressionStream")
    driver.page.route(SYNC, break_over_one)
    assert driver.sync() == "done"
    [unsent] = driver.outbox()
    # A slow round is followed by the next one at once, so there may be more tries than one.
    assert (unsent["id"], unsent["held"], unsent["tries"] > 0) == (bad, 2, True)
    other = open_book()
    other.sync()
    assert other.count("bottle") == 30
    driver.page.unroute_all()
    driver.run("await book.db.outbox.update(value, { not_before_ms: 0 })", bad)
    assert driver.sync() == "done"
    assert driver.outbox() == []


@pytest.mark.extended
def test_failing_server_is_not_tried_record_by_record(driver):
    driver.save_bottles(64)
    asked = []
    driver.page.route(
        SYNC,
        lambda route: (asked.append(1), route.fulfill(status=500, content_type=PROBLEM, body="{}")),
    )
    assert driver.sync() == "waiting"
    assert len(asked) <= 9
    assert len(driver.outbox()) == 64


@pytest.mark.extended
def test_request_without_a_response_is_retried(driver):
    driver.save("bottle", {"name": "Invented No. 3"})
    driver.run("timing.request_timeout_ms = 200")
    driver.page.route(SYNC, lambda route: None)
    assert driver.sync() == "waiting"
    driver.page.unroute_all(behavior="ignoreErrors")
    # Raise the timeout, because a loaded machine needs more than 200 ms.
    driver.run("timing.request_timeout_ms = 30_000")
    assert driver.sync() == "done"
    assert driver.outbox() == []


@pytest.mark.extended
def test_sync_loop_retries_until_the_server_returns(driver):
    driver.run("Object.assign(timing, { backoff_first_ms: 20, after_save_ms: 10 })")
    driver.page.route(SYNC, lambda route: route.abort("connectionrefused"))
    driver.run("book.startSync()")
    driver.save("bottle", {"name": "Invented No. 3"})
    driver.until("book.syncStatus.value.phase === 'waiting' && book.syncStatus.value.unsent === 1")
    driver.page.unroute_all(behavior="ignoreErrors")
    driver.until("book.syncStatus.value.phase === 'idle' && book.syncStatus.value.unsent === 0")
    assert driver.state()["lastSynced"] is not None


@pytest.mark.extended
def test_sync_runs_when_the_network_returns(driver):
    driver.run("timing.backoff_first_ms = 600_000; timing.backoff_max_ms = 600_000")
    driver.context.set_offline(True)
    driver.save("bottle", {"name": "Invented No. 3"})
    driver.run("book.startSync()")
    driver.until("book.syncStatus.value.phase === 'waiting'")
    driver.context.set_offline(False)
    driver.until("book.syncStatus.value.unsent === 0")


@pytest.mark.extended
def test_request_body_is_compressed(driver):
    driver.save_bottles(50)
    with driver.page.expect_request(SYNC) as sent:
        assert driver.sync() == "done"
    assert sent.value.headers["content-encoding"] == "gzip"
    assert driver.outbox() == []


@pytest.mark.extended
@pytest.mark.parametrize("fault", ["reject", "throw"])
def test_refused_lock_does_not_end_the_loop(driver, fault):
    driver.run("Object.assign(timing, { backoff_first_ms: 20, after_save_ms: 10 })")
    failure = {
        "reject": "return Promise.reject(new DOMException('no', 'InvalidStateError'))",
        "throw": "throw new DOMException('no', 'InvalidStateError')",
    }[fault]
    driver.run(f"""
        const request = LockManager.prototype.request;
        LockManager.prototype.request = function (...rest) {{
          LockManager.prototype.request = request;
          {failure};
        }};""")
    driver.save("bottle", {"name": "Invented No. 3"})
    driver.run("book.startSync()")
    driver.until("book.syncStatus.value.phase === 'idle' && book.syncStatus.value.unsent === 0")
    driver.save("bottle", {"name": "Invented No. 4"})
    driver.until("(await book.db.outbox.count()) === 0")


@pytest.mark.extended
def test_failed_round_is_retried(driver):
    driver.run("""
        Object.assign(timing, { backoff_first_ms: 5 });
        const { Schedule } = await import('/sync/schedule.js');
        globalThis.calls = 0;
        const schedule = new Schedule(async () => {
          calls += 1;
          if (calls === 1) throw new TypeError('broken');
          return { end: 'done', wait_ms: 0, moved: new Set() };
        }, async () => false);
        schedule.now().catch(() => undefined);""")
    driver.until("calls === 2")


@pytest.mark.extended
def test_batch_that_takes_too_long_is_halved(driver):
    driver.save_bottles(40)
    sizes = []

    def small_only(route):
        sizes.append(len(json.loads(route.request.post_data_buffer)["changes"]))
        # The first two requests get no response.
        if len(sizes) > 2:
            route.continue_()

    driver.run("delete globalThis.CompressionStream; Object.assign(timing, { byte_ms: 0 })")
    driver.page.route(SYNC, small_only)
    for _ in range(2):
        driver.run("timing.request_timeout_ms = 300")
        assert driver.sync() == "waiting"
    driver.run("timing.request_timeout_ms = 30_000")
    assert driver.sync() == "done"
    assert sizes[:3] == [40, 20, 10]
    assert driver.outbox() == []


@pytest.mark.extended
def test_page_that_takes_too_long_is_halved(two_phones):
    one, other = two_phones
    one.save_bottles(40)
    assert one.sync() == "done"
    limits = []

    def small_only(route):
        limits.append(json.loads(route.request.post_data_buffer)["limit"])
        if limits[-1] <= 300:
            route.continue_()

    other.run("timing.byte_ms = 0")
    other.page.route(SYNC, small_only)
    while other.run("timing.request_timeout_ms = value; return book.syncNow()", 300) == "waiting":
        assert len(limits) < 9
    assert (limits[0], limits[-1] <= 300) == (400, True)
    assert other.count("bottle") == 40


@pytest.mark.extended
def test_slow_uplink_gets_a_longer_timeout(driver):
    # Random letters, because they do not compress: 12 kB at 4 kB/s.
    driver.run("""
        const letters = () => Array.from(crypto.getRandomValues(new Uint8Array(3_000)),
          (byte) => String.fromCharCode(33 + byte % 90)).join('');
        const note = () => ({ kind: 'tasting', id: book.newId(), fields: { words: letters() } });
        await book.saveMany([note(), note(), note(), note()]);
        timing.request_timeout_ms = 2_000;""")
    devtools = driver.context.new_cdp_session(driver.page)
    devtools.send("Network.enable")
    slow = {"offline": False, "latency": 0, "downloadThroughput": -1, "uploadThroughput": 4_000}
    devtools.send("Network.emulateNetworkConditions", slow)
    assert driver.sync() == "done"
    assert driver.outbox() == []
