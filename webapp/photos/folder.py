"""Pictures as files in a folder of this machine."""

from __future__ import annotations

import contextlib
import os
import shutil
import tempfile
from collections.abc import Collection, Iterator
from pathlib import Path

from webapp.photos.files import parse_photo_name, photo_name


class FolderFiles:
    """Pictures in a folder; see `PhotoFiles`."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def write(self, owner_id: int, sha256: str, content: bytes) -> None:
        """Write a temporary file, sync it to disk, then rename it."""
        path = self._path(owner_id, sha256)
        if path.is_file():
            return
        path.parent.mkdir(parents=True, exist_ok=True)
        descriptor, temporary = tempfile.mkstemp(dir=path.parent)
        try:
            with os.fdopen(descriptor, "wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            os.replace(temporary, path)
        except OSError:
            Path(temporary).unlink(missing_ok=True)
            raise

    def read(self, owner_id: int, sha256: str) -> bytes | None:
        try:
            return self._path(owner_id, sha256).read_bytes()
        except (FileNotFoundError, IsADirectoryError):
            return None

    def existing(self, owner_id: int, shas: Collection[str]) -> set[str]:
        return {sha for sha in shas if self._path(owner_id, sha).is_file()}

    def delete(self, owner_id: int, shas: Collection[str]) -> None:
        for sha in shas:
            self._path(owner_id, sha).unlink(missing_ok=True)

    def delete_owner(self, owner_id: int) -> None:
        folder = self.folder / str(owner_id)
        if folder.is_dir():
            shutil.rmtree(folder)

    def older_than(self, owner_id: int, until_s: float) -> set[str]:
        found = set()
        for path in (self.folder / str(owner_id)).glob("??/*"):
            with contextlib.suppress(FileNotFoundError):
                if path.stat().st_mtime >= until_s:
                    continue
                if parse_photo_name(path.relative_to(self.folder).as_posix()):
                    found.add(path.name)
                else:
                    path.unlink()
        return found

    def all_names(self) -> Iterator[tuple[int, str]]:
        # `glob` would leave out a folder that cannot be read, and a backup its photos.
        owners = [one for one in _entries(self.folder) if one.name.isdecimal()]
        for path in (file for one in owners for part in _entries(one) for file in _entries(part)):
            name = parse_photo_name(path.relative_to(self.folder).as_posix())
            if name is not None and path.is_file():
                yield name

    def check(self) -> None:
        with tempfile.TemporaryFile(dir=self.nearest_folder()) as file:
            # An empty file can be made on a full disk.
            file.write(bytes(100_000))
            file.flush()
            os.fsync(file.fileno())

    def nearest_folder(self) -> Path:
        """Return the folder or its nearest parent that exists."""
        return next(one for one in (self.folder, *self.folder.parents) if one.exists())

    def _path(self, owner_id: int, sha256: str) -> Path:
        return self.folder / photo_name(owner_id, sha256)


def _entries(folder: Path) -> list[Path]:
    """Return what is in a folder, sorted; nothing if it is missing or a file."""
    try:
        return sorted(folder.iterdir())
    except (FileNotFoundError, NotADirectoryError):
        return []
