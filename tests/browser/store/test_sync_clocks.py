"""Phones with a wrong clock: they sync, keep the order of edits, and later edits still win."""

from __future__ import annotations

import pytest

pytestmark = pytest.mark.browser

YEAR_MS = 365 * 24 * 3600 * 1000
WRONG_CLOCK = """
    const now = Date.now;
    globalThis.rightNow = () => now();
    Date.now = () => now() + value;
"""


def clock_ms(clock):
    return int(clock[:13])


def test_clock_years_ahead_is_corrected_in_order(two_phones):
    one, other = two_phones
    one.run(WRONG_CLOCK, 10 * YEAR_MS)
    id_ = one.save("tasting", {"words": "first", "tasted_at": "2026-11-25T10:00:00+01:00"})
    one.save("tasting", {"liking": 4}, id_)
    one.save("tasting", {"words": "second"}, id_)
    later = one.save("bottle", {"name": "Invented No. 3"})
    assert one.sync() == "done"
    assert one.outbox() == []
    clocks = one.row("tasting", id_)["clocks"]
    bottle = one.row("bottle", later)["clocks"]
    assert clocks["tasted_at"] < clocks["liking"] < clocks["words"] < bottle["name"]
    assert clock_ms(bottle["name"]) - one.run("return rightNow()") < 60_000
    assert one.fields("tasting", id_)["tasted_at"] == "2026-11-25T10:00:00+01:00"
    other.sync()
    other.save("tasting", {"words": "by the other"}, id_)
    other.sync()
    one.sync()
    assert one.fields("tasting", id_)["words"] == "by the other"


@pytest.mark.extended
def test_notes_after_correction_use_the_server_time(driver):
    driver.run(WRONG_CLOCK, 10 * YEAR_MS)
    driver.save("tasting", {"liking": 4})
    driver.sync()
    id_ = driver.save("tasting", {"liking": 5})
    assert clock_ms(driver.row("tasting", id_)["clocks"]["liking"]) < driver.run(
        "return rightNow() + 60_000"
    )
    assert driver.sync() == "done"
    assert driver.outbox() == []


@pytest.mark.extended
def test_corrected_edit_still_supersedes_the_edited_value(two_phones):
    one, other = two_phones
    id_ = other.save("tasting", {"words": "first"})
    other.sync()
    one.sync()
    one.run(WRONG_CLOCK, 10 * YEAR_MS)
    one.save("tasting", {"words": "second"}, id_)
    one.run("await book.remove('tasting', value)", id_)
    one.sync()
    other.sync()
    assert other.fields("tasting", id_)["words"] == "second"
    assert other.row("tasting", id_) == one.row("tasting", id_)
    assert other.row("tasting", id_)["gone"] == 1


@pytest.mark.extended
def test_clock_an_hour_ahead_converges_with_other_phone(two_phones):
    one, other = two_phones
    id_ = one.save("tasting", {"words": "first"})
    one.sync()
    other.sync()
    one.run(WRONG_CLOCK, 3600 * 1000)
    one.save("tasting", {"words": "an hour ahead"}, id_)
    # Within the tolerance of the server, and still ahead of its time.
    other.run(WRONG_CLOCK, 4 * 60 * 1000)
    other.save("tasting", {"words": "minutes ahead"}, id_)
    other.sync()
    for phone in (one, other, one):
        assert phone.sync() == "done"
    assert one.row("tasting", id_) == other.row("tasting", id_)
    assert one.fields("tasting", id_)["words"] == "an hour ahead"
    revisions = one.run("return (await book.fetchRevisions('tasting', value)).revisions", id_)
    assert {one["value"] for one in revisions} == {"first", "minutes ahead"}


@pytest.mark.extended
def test_clock_a_year_behind_catches_up_and_wins_again(two_phones):
    one, other = two_phones
    id_ = other.save("tasting", {"words": "first"})
    other.sync()
    one.run(WRONG_CLOCK, -YEAR_MS)
    one.sync()
    one.save("tasting", {"words": "second"}, id_)
    assert clock_ms(one.row("tasting", id_)["clocks"]["words"]) > one.run(
        "return rightNow() - 60_000"
    )
    one.sync()
    other.sync()
    assert other.fields("tasting", id_)["words"] == "second"


def test_clock_set_back_between_saves_keeps_their_order(driver):
    id_ = driver.save("tasting", {"words": "first"})
    first = driver.row("tasting", id_)["clocks"]["words"]
    driver.run(WRONG_CLOCK, -24 * 3600 * 1000)
    driver.save("tasting", {"words": "second"}, id_)
    assert driver.row("tasting", id_)["clocks"]["words"] > first


def test_phones_with_wrong_clocks_converge(two_phones):
    one, other = two_phones
    one.run(WRONG_CLOCK, 10 * YEAR_MS)
    other.run(WRONG_CLOCK, -10 * YEAR_MS)
    id_ = one.save("tasting", {"words": "by one", "liking": 3})
    one.sync()
    other.sync()
    other.save("tasting", {"words": "by the other"}, id_)
    one.save("tasting", {"liking": 9}, id_)
    for phone in (one, other, one, other):
        assert phone.sync() == "done"
    assert one.row("tasting", id_) == other.row("tasting", id_)
    assert one.fields("tasting", id_) == {"words": "by the other", "liking": 9}
