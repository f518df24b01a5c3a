"""Servers and phones that are restored from a backup, replaced, killed or copied."""

from __future__ import annotations

import shutil
import sqlite3

import pytest

pytestmark = pytest.mark.browser

SYNC = "**/api/sync"


def copy_of_the_book(live_server, name):
    """Copy the database consistently, like the nightly backup."""
    target = live_server.folder / name
    with sqlite3.connect(live_server.file) as source, sqlite3.connect(target) as copy:
        source.backup(copy)
    source.close()
    copy.close()
    return target


def put_back(live_server, copy=None):
    live_server.kill()
    for leftover in live_server.folder.glob("book.sqlite*"):
        leftover.unlink()
    if copy is not None:
        shutil.copy(copy, live_server.file)
    live_server.start()


def test_restored_server_receives_newer_records(live_server, open_live_book):
    one, other = open_live_book(), open_live_book()
    kept = one.save("tasting", {"words": "before the backup", "liking": 5})
    one.sync()
    other.sync()
    backup = copy_of_the_book(live_server, "backup.sqlite")
    one.save("tasting", {"words": "after the backup"}, kept)
    later = one.save("bottle", {"name": "Invented No. 3"})
    one.sync()
    gone = other.save("bottle", {"name": "Invented No. 4"})
    other.run("await book.remove('bottle', value)", gone)
    other.sync()
    put_back(live_server, backup)
    stranger = open_live_book()
    foreign = stranger.save("bottle", {"name": "written after the restore"})
    stranger.sync()
    for phone in (one, other, stranger, one):
        assert phone.sync() == "done"
    for phone in (one, other, stranger):
        assert phone.fields("tasting", kept) == {"words": "after the backup", "liking": 5}
        assert phone.fields("bottle", later) == {"name": "Invented No. 3"}
        assert phone.fields("bottle", foreign) == {"name": "written after the restore"}
        assert phone.row("bottle", gone)["gone"] == 1
        assert phone.outbox() == []
    assert one.meta("server")["rewound_at"] is not None


def test_empty_server_is_refilled_without_deletions(live_server, open_live_book):
    one = open_live_book()
    one.save_bottles(1_300)
    one.sync()
    put_back(live_server)
    assert one.sync() == "done"
    assert (one.count("bottle"), one.outbox()) == (1_300, [])
    other = open_live_book()
    other.sync()
    assert other.count("bottle") == 1_300


def test_interrupted_rewind_resumes(live_server, open_live_book):
    one = open_live_book()
    one.save_bottles(1_300)
    one.sync()
    put_back(live_server, copy_of_the_book(live_server, "backup.sqlite"))
    one.run("await book.db.meta.update('server', { token: 'of another day', cursor: 1_300 })")
    one.run("timing.max_pull = 500")
    answers = []

    def cut_after_the_first(route):
        if answers:
            route.abort("connectionreset")
        else:
            answers.append(route.fetch())
            route.fulfill(response=answers[0])

    one.page.route(SYNC, cut_after_the_first)
    assert one.sync() == "waiting"
    assert answers[0].json()["rewound"]
    assert (one.meta("server")["rewinding"], len(one.outbox())) == (True, 800)
    one.page.unroute_all(behavior="ignoreErrors")
    sent = []
    # The page may ask for other things meanwhile, such as its palate.
    one.page.on(
        "request", lambda request: request.url.endswith("/api/sync") and sent.append(request)
    )
    assert one.sync() == "done"
    assert (one.meta("server")["rewinding"], one.outbox(), one.count("bottle")) == (
        False,
        [],
        1_300,
    )
    assert sent
    assert all(len(request.post_data_buffer) < 1_000 for request in sent)


def test_server_killed_in_a_push_receives_the_rest_later(live_server, open_live_book):
    one = open_live_book()
    one.save_bottles(1_300)
    passed = []

    def kill_at_the_second(route):
        passed.append(1)
        if len(passed) == 2:
            live_server.kill()
            route.abort("connectionreset")
        else:
            route.continue_()

    one.page.route(SYNC, kill_at_the_second)
    assert one.sync() == "waiting"
    assert len(one.outbox()) == 800
    one.page.unroute_all(behavior="ignoreErrors")
    live_server.start()
    assert one.sync() == "done"
    other = open_live_book()
    other.sync()
    assert (one.outbox(), other.count("bottle")) == ([], 1_300)


def test_phone_restored_from_a_copy_gets_a_new_id(
    live_server, start_phone, open_live_book, tmp_path
):
    profile, copy = tmp_path / "one", tmp_path / "copy"
    one = start_phone(profile)
    id_ = one.save("tasting", {"words": "before the copy"})
    one.sync()
    one.context.close()
    shutil.copytree(profile, copy, symlinks=True, ignore=shutil.ignore_patterns("Singleton*"))
    one = start_phone(profile)
    device = one.meta("clock")["device"]
    one.save("tasting", {"liking": 8}, id_)
    for _ in range(2):
        one.sync()
    one.context.close()
    restored = start_phone(copy)
    restored.save("tasting", {"body": 3}, id_)
    for _ in range(2):
        assert restored.sync() == "done"
    assert restored.meta("clock")["device"] != device
    assert restored.fields("tasting", id_) == {"words": "before the copy", "liking": 8, "body": 3}
    assert restored.outbox() == []
    again = start_phone(profile)
    again.sync()
    assert again.row("tasting", id_) == restored.row("tasting", id_)
