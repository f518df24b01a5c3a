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


def newest(hand, limit):
    rows = hand.run("return book.latestTastings(value)", limit)
    return [row["fields"].get("words") for row in rows]


def test_latest_tastings_skip_deleted_ones(hand):
    for day, words in ((2, "second"), (1, "first"), (3, "third")):
        hand.save("tasting", {"words": words, "tasted_at": f"2026-11-0{day}T10:00:00+01:00"})
    gone = hand.save("tasting", {"words": "gone", "tasted_at": "2026-11-09T10:00:00+01:00"})
    hand.run("await book.remove('tasting', value)", gone)
    hand.save("tasting", {"words": "undated"})
    assert newest(hand, 2) == ["third", "second"]
    assert newest(hand, 10) == ["third", "second", "first", "undated"]


def test_live_query_follows_all_tabs_until_disposed(open_book):
    hand = open_book()
    other = open_book(hand.context)
    hand.run(FOLLOW)
    hand.until("seen.length === 2")
    hand.save("tasting", {"words": "here", "tasted_at": "2026-11-01T10:00:00+01:00"})
    hand.until("seen.length === 3")
    other.save("tasting", {"words": "there", "tasted_at": "2026-11-02T10:00:00+01:00"})
    hand.until("seen.length === 4")
    assert hand.run("return seen") == [None, [], ["here"], ["there", "here"]]
    hand.run("stop()")
    hand.save("tasting", {"words": "unseen"})
    assert hand.run("return seen.length") == 4


def test_live_query_follows_its_last_dependencies(hand):
    visit = hand.save("visit", {"name": "before"})
    hand.save("tasting", {"visit": visit, "tasted_at": "2026-11-01T10:00:00+01:00"})
    hand.run(
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
    hand.until("seen.length === 2")
    hand.save("visit", {"name": "after"}, visit)
    hand.until("seen.length === 3")
    assert hand.run("return seen") == [None, "before", "after"]


def test_live_query_follows_synced_changes(two_phones):
    one, other = two_phones
    other.run(FOLLOW)
    one.save("tasting", {"words": "from afar", "tasted_at": "2026-11-01T10:00:00+01:00"})
    one.sync()
    other.sync()
    other.until("seen.at(-1)?.length === 1")


def test_settings_are_empty_until_set(hand):
    assert hand.run("return (await book.settings()).fields") == {}
    hand.run("await book.save('settings', book.settingsId, { wanted_abv_high: 15 })")
    assert hand.run("return (await book.settings()).fields") == {"wanted_abv_high": 15}
