"""Queries on the phone: order of the results, and updates in every tab."""

from __future__ import annotations

import pytest

pytestmark = pytest.mark.browser

FOLLOW = """
    const { effect } = await import('/lib/ui.js');
    globalThis.seen = [];
    const followed = book.liveSignal(() => book.latestTastings(10), null);
    globalThis.stop = effect(() => { seen.push(followed.value?.map((row) => row.fields.words)); });
"""


def newest(driver, limit):
    rows = driver.run("return book.latestTastings(value)", limit)
    return [row["fields"].get("words") for row in rows]


@pytest.mark.extended
def test_latest_tastings_skip_deleted_ones(driver):
    for day, words in ((2, "second"), (1, "first"), (3, "third")):
        driver.save("tasting", {"words": words, "tasted_at": f"2026-11-0{day}T10:00:00+01:00"})
    gone = driver.save("tasting", {"words": "gone", "tasted_at": "2026-11-09T10:00:00+01:00"})
    driver.run("await book.remove('tasting', value)", gone)
    driver.save("tasting", {"words": "undated"})
    assert newest(driver, 2) == ["third", "second"]
    assert newest(driver, 10) == ["third", "second", "first", "undated"]


@pytest.mark.several_tabs
def test_live_query_follows_all_tabs_until_disposed(open_book):
    driver = open_book()
    other = open_book(driver.context)
    driver.run(FOLLOW)
    driver.until("seen.length === 2")
    driver.save("tasting", {"words": "here", "tasted_at": "2026-11-01T10:00:00+01:00"})
    driver.until("seen.length === 3")
    other.save("tasting", {"words": "there", "tasted_at": "2026-11-02T10:00:00+01:00"})
    driver.until("seen.length === 4")
    assert driver.run("return seen") == [None, [], ["here"], ["there", "here"]]
    driver.run("stop()")
    driver.save("tasting", {"words": "unseen"})
    assert driver.run("return seen.length") == 4


@pytest.mark.extended
def test_live_query_follows_its_last_dependencies(driver):
    visit = driver.save("visit", {"name": "before"})
    driver.save("tasting", {"visit": visit, "tasted_at": "2026-11-01T10:00:00+01:00"})
    driver.run(
        """
        const { effect } = await import('/lib/ui.js');
        globalThis.seen = [];
        const followed = book.liveSignal(async () => {
          const pours = await book.tastingsOfVisit(value);
          await book.bottlesByIds(pours.map((row) => row.fields.bottle));
          return (await book.visit(value)).fields.name;
        }, null);
        effect(() => { seen.push(followed.value); });""",
        visit,
    )
    driver.until("seen.length === 2")
    driver.save("visit", {"name": "after"}, visit)
    driver.until("seen.length === 3")
    assert driver.run("return seen") == [None, "before", "after"]


@pytest.mark.extended
def test_live_query_follows_synced_changes(two_phones):
    one, other = two_phones
    other.run(FOLLOW)
    one.save("tasting", {"words": "from afar", "tasted_at": "2026-11-01T10:00:00+01:00"})
    one.sync()
    other.sync()
    other.until("seen.at(-1)?.length === 1")


@pytest.mark.extended
def test_settings_are_empty_until_set(driver):
    assert driver.run("return (await book.settings()).fields") == {}
    driver.run("await book.save('settings', book.settingsId, { wanted_abv_high: 15 })")
    assert driver.run("return (await book.settings()).fields") == {"wanted_abv_high": 15}
