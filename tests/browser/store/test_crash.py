"""Tabs and browsers that die: what was shown as saved is there, what was not is not half there."""

from __future__ import annotations

import os
import signal
from pathlib import Path

import pytest

pytestmark = pytest.mark.browser


def kill_browser_of(profile: Path) -> None:
    """End at once every process of the browser that lives in this profile."""
    for entry in Path("/proc").iterdir():
        if not entry.name.isdigit():
            continue
        try:
            command = (entry / "cmdline").read_bytes()
        except OSError:
            continue
        if str(profile).encode() in command:
            os.kill(int(entry.name), signal.SIGKILL)


def test_what_counts_as_saved_survives_the_killing_of_the_browser(start_phone, tmp_path):
    profile = tmp_path / "one"
    one = start_phone(profile)
    ids = [one.save("tasting", {"words": f"pour {n}"}) for n in range(12)]
    kill_browser_of(profile)
    again = start_phone(profile)
    assert [again.fields("tasting", id_)["words"] for id_ in ids] == [
        f"pour {n}" for n in range(12)
    ]
    assert len(again.outbox()) == 12


def test_a_tab_that_dies_in_a_save_leaves_all_of_it_or_nothing(open_book):
    one = open_book()
    other = open_book(one.context)
    one.run("""
        globalThis.saving = book.saveMany(Array.from({ length: 3000 }, (_, n) =>
          ({ kind: 'tasting', id: book.newId(), fields: { words: String(n) } })));""")
    one.page.close(run_before_unload=False)
    rows, unsent = other.count("tasting"), other.count("outbox")
    assert rows == unsent
    assert rows in (0, 3000)
    other.save("tasting", {"words": "goes on"})
    assert other.count("tasting") == rows + 1


def test_the_open_pour_is_open_again_at_its_step_after_a_restart(start_phone, tmp_path):
    profile = tmp_path / "one"
    one = start_phone(profile)
    id_ = one.save("tasting", {"first_nose_words": ["lemon"]})
    one.run("await book.setOpenPour(value, 'second_nose')", id_)
    kill_browser_of(profile)
    again = start_phone(profile)
    assert again.run("return book.openPour.value") == {"tasting": id_, "step": "second_nose"}
    again.run("await book.clearOpenPour()")
    assert again.run("return (await book.db.meta.get('open_pour')) ?? null") is None
