"""Loading and removing the example data, which leaves the user's records unchanged."""

from __future__ import annotations

import pytest

pytestmark = pytest.mark.browser


def there(driver, kind):
    return driver.run("return (await book.allOf(value)).length", kind)


@pytest.mark.extended
def test_example_records_are_marked_as_example(driver):
    written = driver.run("return book.loadExample()")
    assert written > 60
    assert there(driver, "tasting") >= 60
    assert driver.run("return book.countExample()") == written
    assert driver.run("return (await book.allOf('tasting')).every((row) => row.fields.example)")
    assert driver.sync() == "done"
    assert driver.outbox() == []


def test_example_is_removed_and_loaded_again(driver):
    own = driver.save("bottle", {"name": "Invented No. 3"})
    driver.run("await book.loadExample()")
    before = there(driver, "tasting")
    assert driver.run("globalThis.taken = await book.removeExample(); return taken.removed") > 60
    assert (there(driver, "tasting"), there(driver, "bottle")) == (0, 1)
    assert driver.row("bottle", own)["gone"] == 0
    driver.run("await taken.undo()")
    assert there(driver, "tasting") == before
    driver.run("await book.removeExample()")
    driver.run("await book.loadExample()")
    assert there(driver, "tasting") == before


@pytest.mark.extended
def test_example_bottle_with_an_own_note_is_kept(driver):
    driver.run("await book.loadExample()")
    bottle = driver.run("return (await book.allOf('bottle'))[0].id")
    own = driver.save("tasting", {"bottle": bottle, "liking": 8})
    driver.run("await book.removeExample()")
    assert driver.run("return (await book.allOf('bottle')).map((row) => row.id)") == [bottle]
    assert driver.row("tasting", own)["gone"] == 0


def test_example_tables_and_people_go_with_the_example(driver):
    kinds = ("group_tasting", "glass", "guest", "person", "sheet")
    driver.run("await book.loadExample()")
    before = {kind: there(driver, kind) for kind in kinds}
    assert before["person"] == 2
    assert all(before.values())
    driver.run("globalThis.taken = await book.removeExample()")
    assert {there(driver, kind) for kind in kinds} == {0}
    driver.run("await taken.undo()")
    assert {kind: there(driver, kind) for kind in kinds} == before


@pytest.mark.extended
def test_example_person_who_is_an_own_guest_is_kept(driver):
    driver.run("await book.loadExample()")
    person = driver.run("return (await book.allOf('person'))[0].id")
    driver.save("guest", {"name": "Invented guest", "person": person})
    driver.run("await book.removeExample()")
    assert driver.run("return (await book.allOf('person')).map((row) => row.id)") == [person]


@pytest.mark.extended
def test_example_leaves_own_settings_unchanged(driver):
    driver.run("await book.save('settings', book.settingsId, { wanted_abv_high: 12.5 })")
    driver.run("await book.loadExample()")
    driver.run("await book.removeExample()")
    assert driver.run("return (await book.settings()).fields") == {"wanted_abv_high": 12.5}


@pytest.mark.extended
def test_example_offline_reports_no_network_and_writes_nothing(driver):
    driver.context.set_offline(True)
    code = driver.run("return book.loadExample().then(() => null, (error) => error.code)")
    assert (code, driver.outbox()) == ("no_network", [])


def test_removed_example_leaves_nothing_unsent(driver):
    own = driver.save("bottle", {"name": "Invented No. 4"})
    loaded = driver.run("return book.loadExample()")
    driver.run("globalThis.taken = await book.removeExample()")
    assert [entry["id"] for entry in driver.outbox()] == [own]
    driver.run("await taken.undo()")
    assert driver.run("return book.countExample()") == loaded
    assert driver.sync() == "done"
    driver.run("await book.removeExample()")
    assert driver.sync() == "done"
    assert driver.outbox() == []
