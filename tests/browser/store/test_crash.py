"""Killed tabs and browsers: saved records survive, and batches are stored whole or not at all."""

from __future__ import annotations

import os
import signal
from pathlib import Path

import pytest

pytestmark = pytest.mark.browser


def kill_browser_of(profile: Path) -> None:
    """Kill every process of the browser that uses this profile."""
    for entry in Path("/proc").iterdir():
        if not entry.name.isdigit():
            continue
        try:
            command = (entry / "cmdline").read_bytes()
        except OSError:
            continue
        if str(profile).encode() in command:
            os.kill(int(entry.name), signal.SIGKILL)


def test_saved_records_survive_a_browser_kill(start_phone, tmp_path):
    profile = tmp_path / "one"
    one = start_phone(profile)
    ids = [one.save("tasting", {"words": f"pour {n}"}) for n in range(12)]
    kill_browser_of(profile)
    again = start_phone(profile)
    assert [again.fields("tasting", id_)["words"] for id_ in ids] == [
        f"pour {n}" for n in range(12)
    ]
    assert len(again.outbox()) == 12


@pytest.mark.several_tabs
def test_killed_tab_saves_all_of_a_batch_or_nothing(open_book):
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


def test_open_pour_is_restored_at_its_step(start_phone, tmp_path):
    profile = tmp_path / "one"
    one = start_phone(profile)
    id_ = one.save("tasting", {"first_nose_words": ["lemon"]})
    one.run("await book.openPour.set({ tasting: value, step: 'second_nose' })", id_)
    kill_browser_of(profile)
    again = start_phone(profile)
    assert again.run("return book.openPour.value") == {"tasting": id_, "step": "second_nose"}
    again.run("await book.openPour.set(null)")
    assert "open" not in again.run("return book.db.meta.get('open_pour')")
