"""Browser storage that is persistent, full, lost or unavailable."""

from __future__ import annotations

import pytest

pytestmark = pytest.mark.browser

STATE = "return book.storageState.value"


def test_first_save_requests_persistent_storage(driver):
    driver.run("""
        globalThis.asked = 0;
        navigator.storage.persist = async () => { asked += 1; return false; };""")
    driver.save("tasting", {"liking": 5})
    driver.until("book.storageState.value.persisted === false")
    driver.save("tasting", {"liking": 6})
    assert driver.run("return asked") == 1
    assert driver.state()["persisted"] is False


def test_full_phone_is_reported_and_keeps_every_note(browser, open_book, url):
    context = browser.new_context(service_workers="block")
    devtools = context.new_cdp_session(context.new_page())
    # Set before the store is opened, because the browser caches the quota of an origin.
    devtools.send("Storage.overrideQuotaForOrigin", {"origin": url, "quotaSize": 1_000_000})
    driver = open_book(context)
    kept = driver.save("tasting", {"words": "before"})
    codes = driver.run("""
        const codes = [];
        // Random letters, for the browser's disk format packs repetitions away.
        const letters = () => Array.from(crypto.getRandomValues(new Uint8Array(4_000)),
          (byte) => String.fromCharCode(97 + byte % 26)).join('');
        const long = () => ({ kind: 'tasting', id: book.newId(), fields: { words: letters() } });
        for (let n = 0; n < 100 && !codes.length; n += 1) {
          await book.saveMany(Array.from({ length: 50 }, long))
            .catch((error) => codes.push(error.code));
        }
        return codes;""")
    assert codes == ["full"]
    assert driver.run("return book.storeState.value") == "full"
    assert driver.fields("tasting", kept) == {"words": "before"}
    assert driver.count("tasting") == driver.count("outbox")
    devtools.send("Storage.overrideQuotaForOrigin", {"origin": url})
    driver.save("tasting", {"words": "after"})
    assert driver.run("return book.storeState.value") == "ready"
    context.close()


def test_caches_are_evicted_before_a_note_is_rejected(driver):
    driver.run("""
        await book.db.cache.put({ name: 'palate', document: 'old' });
        await book.db.photo_bytes.bulkPut([
          { id: 'copy', state: 'sent', bytes: new ArrayBuffer(8) },
          { id: 'own', state: 'unsent', bytes: new ArrayBuffer(8) }]);
        const add = IDBObjectStore.prototype.put;
        let full = true;
        IDBObjectStore.prototype.put = function (...args) {
          if (full && this.name === 'outbox') {
            full = false;
            throw new DOMException('no room', 'QuotaExceededError');
          }
          return add.apply(this, args);
        };""")
    id_ = driver.save("tasting", {"liking": 5})
    assert driver.fields("tasting", id_) == {"liking": 5}
    assert driver.count("cache") == 0
    assert driver.run("return book.db.photo_bytes.toCollection().primaryKeys()") == ["own"]


def test_lost_database_is_reported_and_restored_by_sync(open_book):
    one = open_book()
    sent = one.save("tasting", {"words": "sent"})
    one.run("book.startSync()")
    one.until("book.syncStatus.value.lastSynced !== null && book.syncStatus.value.unsent === 0")
    one.context.set_offline(True)
    one.save("tasting", {"words": "unsent"})
    one.until("book.syncStatus.value.unsent === 1")
    lost = one.meta("clock")
    one.run("await book.db.delete()")
    one.page.close()
    one.context.set_offline(False)
    again = open_book(one.context)
    loss = again.run(STATE)["loss"]
    assert (loss["book"], loss["unsent"]) == (lost["book"], 1)
    assert again.meta("clock")["device"] != lost["device"]
    assert again.sync() == "done"
    assert again.fields("tasting", sent) == {"words": "sent"}
    reopened = open_book(one.context)
    assert reopened.run(STATE)["loss"]["unsent"] == 1
    reopened.run("await book.acknowledgeLoss()")
    assert open_book(one.context).run(STATE)["loss"] is None


def test_database_lost_while_open_is_reported(driver):
    id_ = driver.save("tasting", {"words": "sent"})
    driver.run("book.startSync()")
    driver.until("book.syncStatus.value.lastSynced !== null && book.syncStatus.value.unsent === 0")
    devtools = driver.context.new_cdp_session(driver.page)
    devtools.send("Storage.clearDataForOrigin", {"origin": driver.url, "storageTypes": "indexeddb"})
    driver.save("tasting", {"words": "goes on"})
    driver.until("book.storageState.value.loss !== null")
    assert driver.sync() == "done"
    assert driver.fields("tasting", id_) == {"words": "sent"}
    assert (driver.count("tasting"), driver.outbox()) == (2, [])


def test_new_phone_reports_no_loss(driver):
    assert driver.run(STATE)["loss"] is None


def test_missing_storage_is_reported_and_saves_fail(browser, url):
    context = browser.new_context(service_workers="block")
    context.add_init_script(
        "IDBFactory.prototype.open = () => { throw new DOMException('no', 'SecurityError'); };"
    )
    page = context.new_page()
    page.goto(url + "/spec/record.json")
    found = page.evaluate("""async () => {
      const store = await import('/store/open.js');
      const write = await import('/store/write.js');
      const opened = await store.openStore();
      const code = await write.save('tasting', write.newId(), { liking: 5 })
        .then(() => null, (error) => error.code);
      return [opened, store.storeState.value, code];
    }""")
    context.close()
    assert found == [{"settings": {}}, "no_storage", "no_storage"]


@pytest.mark.several_tabs
def test_newer_schema_opens_and_the_old_tab_is_outdated(open_book):
    old = open_book()
    old.save("tasting", {"liking": 5})
    newer = open_book(old.context)
    opened = newer.run("""
        for (const part of ['strict', 'relaxed']) book.db.close();
        return new Promise((resolve, reject) => {
          const request = indexedDB.open('secondnose', 9_000);
          request.onsuccess = () => { request.result.close(); resolve(true); };
          request.onerror = () => reject(request.error);
        });""")
    assert opened
    old.until("book.storeState.value === 'outdated'")
