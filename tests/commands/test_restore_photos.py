"""secondnose restore: photos that are damaged in the backup, on the disk or in both."""

from __future__ import annotations

import errno
import hashlib
import os
import zipfile
from pathlib import Path

import pytest
from flask import Flask

from tests.commands.test_backup import book_of, id_of
from tests.commands.test_backup_series import Run, run
from tests.commands.test_restore import backup, book
from tests.conftest import dispose
from webapp.commands.backup_zip import PHOTOS
from webapp.photos.files import photo_name
from webapp.photos.folder import FolderFiles

__all__ = ["backup", "book", "run"]

PICTURES = [bytes([number]) * 500 for number in range(5)]
NAMES = [photo_name(1, hashlib.sha256(one).hexdigest()) for one in PICTURES]


@pytest.fixture
def folder(app: Flask) -> Path:
    """Return the folder of the photos."""
    return Path(app.config["PHOTO_FOLDER"])


@pytest.fixture
def packed(backup: Path) -> Path:
    """Return a backup with five photos."""
    with zipfile.ZipFile(backup, "a") as archive:
        for name, picture in zip(NAMES, PICTURES, strict=True):
            archive.writestr(PHOTOS + name, picture)
    return backup


def damage(file: Path, *pictures: bytes) -> None:
    content = bytearray(file.read_bytes())
    for picture in pictures:
        content[content.index(picture) + 100] ^= 0xFF
    file.write_bytes(content)


def store(folder: Path, name: str, content: bytes) -> None:
    (folder / name).parent.mkdir(parents=True, exist_ok=True)
    (folder / name).write_bytes(content)


def stored(folder: Path) -> dict[str, bytes]:
    files = (one for one in folder.rglob("*") if one.is_file())
    return {one.relative_to(folder).as_posix(): one.read_bytes() for one in files}


def test_restore_names_damaged_photos_and_keeps_others(
    app: Flask, run: Run, book: Path, packed: Path, folder: Path
) -> None:
    damage(packed, *PICTURES[1:4])
    # A damaged photo that is still in the folder is not missing, unless it is damaged there too.
    store(folder, NAMES[2], PICTURES[2])
    store(folder, NAMES[3], b"")
    dispose(app)
    done = run("restore", packed, "--replace")
    assert done.exit_code == 1
    assert "The server is restored" in done.output
    assert f"are damaged in {packed} and are missing now. The server can be started" in done.output
    assert [name for name in NAMES if name in done.output] == [NAMES[1], NAMES[3]]
    assert stored(folder) == {NAMES[at]: PICTURES[at] for at in (0, 2, 4)}
    assert Path(f"{book}.before-1").exists()
    assert book_of(app.config["DATABASE_URL"]) == {id_of(1, 1)}


def cannot_read(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    was = FolderFiles.read

    def read(self: FolderFiles, owner_id: int, sha: str) -> bytes | None:
        if sha in name:
            raise OSError(errno.EIO, "Input/output error")
        return was(self, owner_id, sha)

    monkeypatch.setattr(FolderFiles, "read", read)


def test_restore_replaces_damaged_photos(
    run: Run, packed: Path, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    store(folder, NAMES[0], b"")
    store(folder, NAMES[1], PICTURES[1][:200])
    store(folder, NAMES[2], PICTURES[0])
    store(folder, NAMES[3], PICTURES[3])
    cannot_read(NAMES[3], monkeypatch)
    done = run("restore", packed, "--replace")
    assert done.exit_code == 0, done.output
    assert stored(folder) == dict(zip(NAMES, PICTURES, strict=True))


def test_photo_that_cannot_be_read_now_is_kept(
    run: Run, packed: Path, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    damage(packed, PICTURES[3])
    store(folder, NAMES[3], PICTURES[3])
    cannot_read(NAMES[3], monkeypatch)
    done = run("restore", packed, "--replace")
    assert NAMES[3] in done.output
    assert stored(folder)[NAMES[3]] == PICTURES[3]


def test_absent_photos_are_written_without_a_deletion(
    run: Run, packed: Path, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    deleted: list[str] = []
    monkeypatch.setattr(FolderFiles, "delete", lambda self, owner, shas: deleted.extend(shas))
    assert run("restore", packed, "--replace").exit_code == 0
    assert deleted == []
    assert len(stored(folder)) == len(NAMES)


def test_photo_damaged_before_the_backup_is_missing(run: Run, backup: Path, folder: Path) -> None:
    with zipfile.ZipFile(backup, "a") as archive:
        archive.writestr(PHOTOS + NAMES[0], PICTURES[0][:200])
    done = run("restore", backup, "--replace")
    assert done.exit_code == 1
    assert NAMES[0] in done.output
    assert stored(folder) == {}


def test_photos_of_the_replaced_database_are_kept(run: Run, packed: Path, folder: Path) -> None:
    kept = Path(f"{folder}.before-1")
    store(folder, NAMES[0], b"")
    # The server deletes what no note of the restored notebook has.
    later = photo_name(1, hashlib.sha256(b"later").hexdigest())
    store(folder, later, b"later")
    done = run("restore", packed, "--replace")
    assert str(kept) in done.output
    (folder / later).unlink()
    assert stored(kept) == {NAMES[0]: b"", later: b"later"}
    assert f"{folder}.before-2" in run("restore", packed, "--replace").output


def test_restore_says_when_photos_cannot_be_linked(
    run: Run, packed: Path, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> None:
        raise OSError(errno.EXDEV, "Invalid cross-device link")

    monkeypatch.setattr(os, "link", fail)
    store(folder, NAMES[0], PICTURES[0])
    done = run("restore", packed, "--replace")
    assert done.exit_code == 0
    assert f"copy {folder} before you start it" in done.output
    assert not Path(f"{folder}.before-1").exists()


@pytest.mark.parametrize("place", ["", "1", NAMES[0].rpartition("/")[0]])
def test_backup_without_unreadable_photos_is_refused(
    run: Run, folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, place: str
) -> None:
    store(folder, NAMES[0], PICTURES[0])
    # Only root can read what a disk has lost and found.
    (folder / "lost+found").mkdir()
    for name in ("listdir", "scandir"):
        forbid(name, {str(folder / place), str(folder / "lost+found")}, monkeypatch)
    done = run("backup", tmp_path / "new.zip")
    assert done.output == f"Error: Permission denied: {folder / place}\n"
    assert not (tmp_path / "new.zip").exists()


def forbid(name: str, folders: set[str], monkeypatch: pytest.MonkeyPatch) -> None:
    was = getattr(os, name)

    def read(path: object = ".") -> object:
        if str(path) in folders:
            raise PermissionError(errno.EACCES, "Permission denied", str(path))
        return was(path)

    monkeypatch.setattr(os, name, read)
