"""Compatibility with other releases: their databases, requests and responses."""

from __future__ import annotations

import json
import shutil

import pytest

from tests.browser.live_server import LiveServer
from tests.browser.store.record_release import RELEASES
from webapp import spec

pytestmark = pytest.mark.browser

SYNC = "**/api/sync"
PROBLEM = "application/problem+json"
FILES = sorted(RELEASES.glob("*.json"))
# Creates the recorded tables without the current schema code.
MOVE_IN = """async ({ version, tables, notes }) => {
  await new Promise((done, fail) => {
    const request = indexedDB.open('secondnose', version);
    request.onerror = () => fail(request.error);
    request.onupgradeneeded = () => {
      for (const [name, { key, indexes, rows }] of Object.entries(tables)) {
        const store = request.result.createObjectStore(name, { keyPath: key });
        for (const index of indexes) store.createIndex(index, index);
        for (const row of rows) store.put(row);
      }
    };
    request.onsuccess = () => { request.result.close(); done(); };
  });
  for (const [name, value] of Object.entries(notes)) localStorage.setItem(name, value);
}"""
STORED = """async () => {
  const book = await new Promise((done) => {
    const request = indexedDB.open('secondnose');
    request.onsuccess = () => done(request.result);
  });
  const found = {};
  for (const name of ['tasting', 'outbox']) {
    const reading = book.transaction(name).objectStore(name).getAll();
    found[name] = await new Promise((done) => { reading.onsuccess = () => done(reading.result); });
  }
  book.close();
  return found;
}"""


def kept(file):
    return json.loads(file.read_text(encoding="utf-8"))


@pytest.fixture
def served_client(tmp_path):
    """Copy the client files; `url` serves the copy in tests that use this fixture."""
    copy = tmp_path / "static"
    shutil.copytree(spec.static_root(), copy)
    return copy


@pytest.fixture
def url(request, tmp_path):
    if "served_client" not in request.fixturenames:
        yield request.getfixturevalue("shared_url")
        return
    given = {"CLIENT": str(request.getfixturevalue("served_client"))}
    server = LiveServer(tmp_path, "tests.browser.store.custom_client_server", **given).start()
    yield server.url
    server.kill()


@pytest.fixture
def moved_in(browser_of_tabs, url):
    """Return a function that creates a phone with the database of another release."""
    contexts = []

    def move_in(profile):
        contexts.append(browser_of_tabs.new_context(service_workers="block"))
        page = contexts[-1].new_page()
        page.goto(url + "/spec/record.json")
        page.evaluate(MOVE_IN, profile)
        return contexts[-1], page

    yield move_in
    for context in contexts:
        context.close()


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_database_of_every_release_opens_and_syncs(moved_in, open_book, file):
    profile = kept(file)["profile"]
    context, _ = moved_in(profile)
    driver = open_book(context)
    assert driver.run("return [book.storeState.value, book.storageState.value.loss]") == [
        "ready",
        None,
    ]
    tables = {name: table["rows"] for name, table in profile["tables"].items()}
    for name in ("tasting", "bottle", "visit", "pick"):
        assert driver.count(name) == len(tables[name])
    assert len(driver.outbox()) == len(tables["outbox"])
    assert driver.sync() == "done"
    other = open_book()
    other.sync()
    for row in tables["tasting"]:
        assert other.fields("tasting", row["id"]) == row["fields"]
        assert driver.row("tasting", row["id"]) == other.row("tasting", row["id"])
    assert (driver.outbox(), other.row("visit", tables["visit"][0]["id"])["gone"]) == ([], 1)


def of_a_later_release(profile, moon):
    """Return the profile with a newer schema version, one more table and one more field."""
    later = json.loads(json.dumps(profile))
    later["version"] += 70
    later["tables"]["moon_phase"] = {"key": "id", "indexes": [], "rows": [{"id": "new"}]}
    for name in ("tasting", "outbox"):
        for row in later["tables"][name]["rows"]:
            row["fields"]["moon"] = moon
            row["clocks"]["moon"] = max(row["clocks"].values())
    return later


def test_rollback_keeps_fields_of_the_newer_release(moved_in, open_book):
    profile, moon = kept(FILES[-1])["profile"], {"phase": [1, 2.5]}
    later = of_a_later_release(profile, moon)
    context, page = moved_in(later)
    older = open_book(context)
    state = older.run("return book.storeState.value")
    assert state in ("ready", "outdated")
    if state == "ready":
        id_ = profile["tables"]["tasting"]["rows"][0]["id"]
        older.save("tasting", {"liking": 8}, id_)
        assert older.sync() == "done"
        assert older.fields("tasting", id_)["liking"] == 8
    else:
        code = older.run(
            "return book.save('tasting', book.newId(), {}).then(() => null, ({ code }) => code)"
        )
        assert code == "outdated"
    older.page.close()
    result = page.evaluate(STORED)
    assert [row["fields"]["moon"] for row in result["tasting"]] == [moon] * len(result["tasting"])
    if state == "outdated":
        assert len(result["outbox"]) == len(later["tables"]["outbox"]["rows"])


def test_older_server_response_is_sufficient(driver, open_book):
    """Sync with a server that has no /api/me and returns no `remaining`, like release 1."""

    def as_before(route):
        answer = route.fetch()
        payload = answer.json()
        del payload["remaining"]
        route.fulfill(response=answer, json=payload)

    driver.page.route(SYNC, as_before)
    driver.page.route(
        "**/api/me",
        lambda route: route.fulfill(status=404, content_type=PROBLEM, body='{"status": 404}'),
    )
    driver.save_bottles(700)
    assert driver.sync() == "done"
    other = open_book()
    other.page.route(SYNC, as_before)
    other.sync()
    assert (driver.outbox(), other.count("bottle")) == ([], 700)


def test_fields_of_a_newer_server_are_stored_and_returned(two_phones, open_book):
    one, other = two_phones
    id_ = one.save("tasting", {"words": "first"})
    one.sync()
    moon = {"phase": [1, None]}
    strange = {"kind": "moon_phase", "id": one.run("return book.newId()"), "seq": 900}

    def newer(route):
        answer = route.fetch()
        payload = answer.json()
        for record in payload["changes"]:
            record["fields"]["moon"] = moon
            record["clocks"]["moon"] = max(record["clocks"].values())
            record["colour"] = "of a later edition"
        payload["changes"].append({**strange, "fields": {"x": 1}, "clocks": {}, "deleted": False})
        route.fulfill(response=answer, json={**payload, "advice": {"x": 1}})

    other.page.route(SYNC, newer, times=1)
    assert other.sync() == "done"
    assert other.fields("tasting", id_) == {"words": "first", "moon": moon}
    assert other.run("return (await book.db.unknown_kind.toArray()).map((row) => row.id)") == [
        strange["id"]
    ]
    other.save("tasting", {"words": "second"}, id_)
    other.save("tasting", {"body": 4}, id_)
    assert other.fields("tasting", id_)["moon"] == moon
    # Only fields changed here are sent, so that fields of a later release are kept.
    assert [row["fields"] for row in other.outbox()] == [{"words": "second", "body": 4}]
    assert other.sync() == "done"
    # A server restored from a backup receives the unknown field from this phone.
    other.run("await book.db.meta.update('server', { token: 'of another day' })")
    assert other.sync() == "done"
    reader = open_book()
    reader.sync()
    assert reader.fields("tasting", id_) == {"words": "second", "body": 4, "moon": moon}


VERSIONS = "const SCHEMA_VERSIONS = ["
NEXT_STEP = f"""{VERSIONS}
  {{
    version: 4,
    stores: {{ tasting: 'id, fields.tasted_at, fields.bottle, fields.visit, fields.place' }},
  }},
"""


@pytest.mark.several_tabs
def test_schema_upgrade_keeps_records_and_closes_the_old_tab(moved_in, open_book, served_client):
    profile = kept(FILES[0])["profile"]
    context, _ = moved_in(profile)
    old = open_book(context)
    later = served_client
    tables = later / "store" / "database.js"
    text = tables.read_text(encoding="utf-8")
    assert VERSIONS in text
    tables.write_text(text.replace(VERSIONS, NEXT_STEP), encoding="utf-8")
    new = open_book(context)
    assert new.run("return [book.storeState.value, book.db.verno]") == ["ready", 4]
    old.until("book.storeState.value === 'outdated'")
    for name in ("tasting", "outbox"):
        rows = new.run("return book.db[value].orderBy('id').toArray()", name)
        assert rows == sorted(profile["tables"][name]["rows"], key=lambda row: row["id"])
    new.save("tasting", {"place": "Invented cellar"}, rows[0]["id"])
    assert new.run("return book.db.tasting.where('fields.place').above('').count()") == 1
    assert new.sync() == "done"
