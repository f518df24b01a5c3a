"""Loading and removing the example data, which leaves the user's records unchanged."""

from __future__ import annotations

import pytest

pytestmark = pytest.mark.browser


def there(hand, kind):
    return hand.run("return (await book.allOf(value)).length", kind)


def test_example_records_are_marked_as_example(hand):
    written = hand.run("return book.loadExample()")
    assert written > 60
    assert there(hand, "tasting") >= 60
    assert hand.run("return book.countExample()") == written
    assert hand.run("return (await book.allOf('tasting')).every((row) => row.fields.example)")
    assert hand.sync() == "done"
    assert hand.outbox() == []


def test_example_is_removed_and_loaded_again(hand):
    own = hand.save("bottle", {"name": "Invented No. 3"})
    hand.run("await book.loadExample()")
    before = there(hand, "tasting")
    assert hand.run("globalThis.taken = await book.removeExample(); return taken.removed") > 60
    assert (there(hand, "tasting"), there(hand, "bottle")) == (0, 1)
    assert hand.row("bottle", own)["gone"] == 0
    hand.run("await taken.undo()")
    assert there(hand, "tasting") == before
    hand.run("await book.removeExample()")
    hand.run("await book.loadExample()")
    assert there(hand, "tasting") == before


def test_example_bottle_with_an_own_note_is_kept(hand):
    hand.run("await book.loadExample()")
    bottle = hand.run("return (await book.allOf('bottle'))[0].id")
    own = hand.save("tasting", {"bottle": bottle, "liking": 8})
    hand.run("await book.removeExample()")
    assert hand.run("return (await book.allOf('bottle')).map((row) => row.id)") == [bottle]
    assert hand.row("tasting", own)["gone"] == 0


def test_example_tables_and_people_go_with_the_example(hand):
    kinds = ("group_tasting", "glass", "guest", "person", "sheet")
    hand.run("await book.loadExample()")
    before = {kind: there(hand, kind) for kind in kinds}
    assert before["person"] == 2
    assert all(before.values())
    hand.run("globalThis.taken = await book.removeExample()")
    assert {there(hand, kind) for kind in kinds} == {0}
    hand.run("await taken.undo()")
    assert {kind: there(hand, kind) for kind in kinds} == before


def test_example_person_who_is_an_own_guest_is_kept(hand):
    hand.run("await book.loadExample()")
    person = hand.run("return (await book.allOf('person'))[0].id")
    hand.save("guest", {"name": "Invented guest", "person": person})
    hand.run("await book.removeExample()")
    assert hand.run("return (await book.allOf('person')).map((row) => row.id)") == [person]


def test_example_leaves_own_settings_unchanged(hand):
    hand.run("await book.save('settings', book.settingsId, { wanted_abv_high: 12.5 })")
    hand.run("await book.loadExample()")
    hand.run("await book.removeExample()")
    assert hand.run("return (await book.settings()).fields") == {"wanted_abv_high": 12.5}


def test_example_offline_reports_no_network_and_writes_nothing(hand):
    hand.context.set_offline(True)
    code = hand.run("return book.loadExample().then(() => null, (error) => error.code)")
    assert (code, hand.outbox()) == ("no_network", [])


def test_removed_example_leaves_nothing_unsent(hand):
    own = hand.save("bottle", {"name": "Invented No. 4"})
    loaded = hand.run("return book.loadExample()")
    hand.run("globalThis.taken = await book.removeExample()")
    assert [entry["id"] for entry in hand.outbox()] == [own]
    hand.run("await taken.undo()")
    assert hand.run("return book.countExample()") == loaded
    assert hand.sync() == "done"
    hand.run("await book.removeExample()")
    assert hand.sync() == "done"
    assert hand.outbox() == []
