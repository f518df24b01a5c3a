"""Questions to the book on the phone: fresh in every tab, and over ten thousand notes."""

from __future__ import annotations

import pytest

pytestmark = pytest.mark.browser

FOLLOW = """
    const { effect } = await import('/ui.js');
    globalThis.seen = [];
    const followed = book.live(() => book.tastingsNewest(10), null);
    globalThis.stop = effect(() => { seen.push(followed.value?.map((row) => row.fields.words)); });
"""
FILL = """
    const names = ['Château Œuf', 'Weingut Übermoor', 'Cantina Più', 'Bodega Añeja', 'Quinta Alta'];
    const bottles = Array.from({ length: 500 }, (_, n) => ({ kind: 'bottle', id: book.newId(),
      fields: { name: `${names[n % 5]} No. ${n}`, vintage: 1990 + (n % 30), country: 'FR' } }));
    const start = Date.UTC(2016, 0, 1);
    const day = (n) => `${new Date(start + n * 8 * 3600_000).toISOString().slice(0, 19)}Z`;
    const tastings = Array.from({ length: 10_000 }, (_, n) => ({ kind: 'tasting', id: book.newId(),
      fields: { bottle: bottles[n % 500].id, tasted_at: day(n), liking: 1 + (n % 9),
        words: `note ${n} of wet slate and quince, a little closed at first, then opening`,
        sip_words: ['lemon:2', '~smoked tea'] } }));
    await book.saveMany(bottles);
    await book.saveMany(tastings);
"""


def newest(hand, limit):
    rows = hand.run("return book.tastingsNewest(value)", limit)
    return [row["fields"].get("words") for row in rows]


def test_tastings_come_newest_first_without_those_that_are_gone(hand):
    for day, words in ((2, "second"), (1, "first"), (3, "third")):
        hand.save("tasting", {"words": words, "tasted_at": f"2026-11-0{day}T10:00:00+01:00"})
    gone = hand.save("tasting", {"words": "gone", "tasted_at": "2026-11-09T10:00:00+01:00"})
    hand.run("await book.remove('tasting', value)", gone)
    hand.save("tasting", {"words": "undated"})
    assert newest(hand, 2) == ["third", "second"]
    assert newest(hand, 10) == ["third", "second", "first", "undated"]


def test_a_live_answer_follows_changes_here_and_in_another_tab_and_ends_with_its_reader(open_book):
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


def test_a_live_answer_follows_what_a_sync_brings(two_phones):
    one, other = two_phones
    other.run(FOLLOW)
    one.save("tasting", {"words": "from afar", "tasted_at": "2026-11-01T10:00:00+01:00"})
    one.sync()
    other.sync()
    other.until("seen.at(-1)?.length === 1")


def test_settings_are_an_empty_record_until_they_are_set(hand):
    assert hand.run("return (await book.settings()).fields") == {}
    hand.run("await book.save('settings', book.settingsId, { wanted_abv_high: 15 })")
    assert hand.run("return (await book.settings()).fields") == {"wanted_abv_high": 15}


def test_ten_thousand_notes_are_searched_by_any_words_without_accents(hand):
    hand.run(FILL)
    found = hand.run("return book.searchTastings('chateau OEUF slate', {}, 5)")
    assert found["total"] == 2_000
    times = [row["fields"]["tasted_at"] for row in found["tastings"]]
    assert times == sorted(times, reverse=True)
    assert hand.run("return (await book.searchTastings('note 4321 ')).total") == 1
    assert hand.run("return (await book.searchTastings('anejA smoked lemon')).total") == 2_000
    assert hand.run("return (await book.searchTastings('anejA tar')).total") == 0
    filters = {"liking_low": 9, "from": "2016-01-01", "to": "2016-12-31"}
    found = hand.run("return (await book.searchTastings('', value, 2_000))", filters)
    # Every ninth of the 366 days' three notes.
    assert found["total"] == 366 * 3 // 9
    assert {row["fields"]["liking"] for row in found["tastings"]} == {9}


def test_searches_that_begin_together_find_the_same(hand):
    hand.save("bottle", {"name": "Invented No. 3"})
    assert hand.run("""
        const both = await Promise.all([book.searchBottles('invented'), book.searchBottles('no')]);
        return both.map((rows) => rows.length);""") == [1, 1]


def test_a_search_knows_what_was_saved_removed_or_synced_a_moment_ago(two_phones):
    one, other = two_phones
    count = "return (await book.searchTastings(value)).total"
    bottle = one.save("bottle", {"name": "Mölltaler"})
    id_ = one.save("tasting", {"bottle": bottle, "words": "quince"})
    assert one.run(count, "molltaler quince") == 1
    one.save("bottle", {"name": "Gailtaler"}, bottle)
    assert (one.run(count, "molltaler"), one.run(count, "gailtaler")) == (0, 1)
    assert other.run(count, "gailtaler") == 0
    one.sync()
    other.sync()
    assert other.run(count, "gailtaler quince") == 1
    one.run("await book.remove('tasting', value)", id_)
    assert one.run(count, "gailtaler") == 0
    one.run("await book.restore('tasting', value)", id_)
    assert one.run(count, "gailtaler") == 1


def test_ids_are_found_by_the_words_that_the_screens_use_for_them(hand):
    hand.save("tasting", {"sip_words": ["green_apple"]})
    assert hand.run("return (await book.searchTastings('green apple')).total") == 1
    hand.run("book.spellWith((_, id) => (id === 'green_apple' ? 'Pomme verte' : id))")
    assert hand.run("return (await book.searchTastings('pomme')).total") == 1


def test_bottles_that_begin_with_the_words_come_first(hand):
    for name in ("Alta Quinta", "Quinta Alta", "Quinta da Serra"):
        hand.save("bottle", {"name": name})
    rows = hand.run("return book.searchBottles('quinta a')")
    assert [row["fields"]["name"] for row in rows] == [
        "Quinta Alta",
        "Quinta da Serra",
        "Alta Quinta",
    ]
