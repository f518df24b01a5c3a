"""Backups delete what an interrupted one left behind, and nothing else."""

from __future__ import annotations

import errno
import fcntl
import os
import signal
from pathlib import Path

import pytest

from tests.commands.test_backup_series import EPOCH, START, Run, run
from webapp.commands.backup_files import backups_in, new_backup_path
from webapp.commands.backup_zip import DATABASE
from webapp.commands.new_file import FILE, FOLDER_PREFIX, LOCK, private_folder
from webapp.db.in_use import in_use

__all__ = ["run"]


def unfinished(parent: Path, name: str) -> Path:
    """Make the folder of a command that was killed."""
    folder = parent / f"{FOLDER_PREFIX}{name}"
    folder.mkdir(parents=True)
    (folder / LOCK).touch()
    (folder / "book.sqlite").write_bytes(b"plums")
    return folder


def test_backup_deletes_what_a_killed_one_left(run: Run, tmp_path: Path) -> None:
    folder = tmp_path / "backups"
    running = unfinished(folder, "running")
    unfinished(folder, "killed")
    foreign = folder / "tmpholiday"
    foreign.mkdir()
    (foreign / LOCK).touch()
    part = new_backup_path(folder, START, EPOCH).with_suffix(".zip.part")
    for one in (part, folder / "holiday.zip.part"):
        one.write_bytes(b"plums")
    with in_use((running / LOCK).with_suffix(""), exclusive=True):
        assert run("backup", folder, "--keep", 2).exit_code == 0
    left = {one.name for one in folder.iterdir()} - {one.name for one in backups_in(folder)}
    assert left == {running.name, foreign.name, "holiday.zip.part"}


def test_folder_that_is_not_locked_yet_is_kept(run: Run, tmp_path: Path) -> None:
    begun = tmp_path / f"{FOLDER_PREFIX}begun"
    begun.mkdir()
    assert run("backup", tmp_path / "safe.zip").exit_code == 0
    assert list(begun.iterdir()) == []


def killed(parent: Path, *, at_deletion: bool) -> None:
    """Run a command in a process that kills itself while it writes, or while it deletes."""
    pid = os.fork()
    if pid:
        os.waitpid(pid, 0)
        return
    try:
        with private_folder(parent) as folder:
            for name in ("book.sqlite", FILE):
                (folder / name).write_bytes(b"plums")
            if not at_deletion:
                os.kill(os.getpid(), signal.SIGKILL)
            was = Path.unlink

            def unlink(self: Path, **more: bool) -> None:
                was(self, **more)
                os.kill(os.getpid(), signal.SIGKILL)

            Path.unlink = unlink  # type: ignore[assignment]
    finally:
        os._exit(1)


@pytest.mark.parametrize("at_deletion", [False, True])
def test_folder_of_a_killed_command_is_deleted(tmp_path: Path, at_deletion: bool) -> None:
    killed(tmp_path, at_deletion=at_deletion)
    assert list(tmp_path.glob(f"{FOLDER_PREFIX}*/{LOCK}"))
    with private_folder(tmp_path) as folder:
        assert list(tmp_path.iterdir()) == [folder]
    assert list(tmp_path.iterdir()) == []


def test_folder_in_use_is_kept_by_the_next_command(tmp_path: Path) -> None:
    with private_folder(tmp_path) as outer:
        (outer / FILE).write_bytes(b"plums")
        with private_folder(tmp_path):
            assert (outer / FILE).read_bytes() == b"plums"
    assert list(tmp_path.iterdir()) == []


def test_file_that_cannot_be_deleted_is_reported(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    was = Path.unlink

    def unlink(self: Path, **more: bool) -> None:
        if self.name == DATABASE:
            raise OSError(errno.EIO, "Input/output error", str(self))
        was(self, **more)

    monkeypatch.setattr(Path, "unlink", unlink)
    done = run("backup", tmp_path / "safe.zip")
    assert done.exit_code == 1
    assert "Input/output error" in done.output
    monkeypatch.undo()
    with private_folder(tmp_path) as folder:
        assert list(tmp_path.glob(f"{FOLDER_PREFIX}*")) == [folder]


def test_backup_succeeds_if_its_folder_cannot_be_deleted(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    was = os.rmdir

    def rmdir(path: str, **more: int) -> None:
        if FOLDER_PREFIX in str(path):
            raise OSError(errno.ENOTEMPTY, "Directory not empty")
        was(path, **more)

    monkeypatch.setattr(os, "rmdir", rmdir)
    done = run("backup", tmp_path / "safe.zip")
    assert done.exit_code == 0, done.output


def test_leftover_of_another_user_is_kept(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = unfinished(tmp_path, "theirs")
    monkeypatch.setattr(os, "geteuid", lambda: folder.stat().st_uid + 1)
    assert run("backup", tmp_path / "safe.zip").exit_code == 0
    assert (folder / "book.sqlite").exists()


def test_leftovers_are_not_followed_by_links(run: Run, tmp_path: Path) -> None:
    evil = unfinished(tmp_path, "evil")
    (evil / LOCK).unlink()
    (evil / LOCK).symlink_to(tmp_path / "made.txt")
    elsewhere = unfinished(tmp_path / "elsewhere", "mine")
    (tmp_path / f"{FOLDER_PREFIX}link").symlink_to(elsewhere)
    assert run("backup", tmp_path / "safe.zip").exit_code == 0
    assert not (tmp_path / "made.txt").exists()
    assert (evil / "book.sqlite").exists()
    assert (elsewhere / LOCK).exists()


@pytest.mark.parametrize("name", ["backup", "export"])
def test_new_file_needs_no_lock_of_its_file_system(
    run: Run, tmp_path: Path, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    was = fcntl.flock

    def flock(lock: int, how: int) -> None:
        if FOLDER_PREFIX in os.readlink(f"/proc/self/fd/{lock}"):
            raise OSError(errno.ENOLCK, "No locks available")
        was(lock, how)

    monkeypatch.setattr(fcntl, "flock", flock)
    done = run(name, tmp_path / "safe.zip")
    assert done.exit_code == 0, done.output
    assert list(tmp_path.glob(f"{FOLDER_PREFIX}*")) == []
