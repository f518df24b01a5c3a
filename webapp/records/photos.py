"""Pictures of an owner: a row each, and the bytes in a folder under their SHA-256."""

from __future__ import annotations

import os
import tempfile
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Row, delete, insert, select

from webapp.db.tables import photo_bytes
from webapp.records.picture import Picture


def keep_photo(
    connection: Connection, folder: Path, owner_id: int, id_: str, picture: Picture
) -> bool:
    """Keep the picture under the id of its photo record; False when it was kept already."""
    columns = photo_bytes.c
    held = find_photo(connection, owner_id, id_)
    if held is not None and held.sha256 == picture.sha256 and photo_path(folder, held).is_file():
        return False
    row = {
        "owner_id": owner_id,
        "id": id_,
        "sha256": picture.sha256,
        "media_type": picture.media_type,
        "width_px": picture.width_px,
        "height_px": picture.height_px,
        "bytes": len(picture.content),
        "kept_at": datetime.now(UTC).isoformat(timespec="seconds"),
    }
    # Bytes first: a row must never point to nothing, while bytes without a row only take room.
    _write_whole(_path(folder, owner_id, picture.sha256), picture.content)
    connection.execute(delete(photo_bytes).where(columns.owner_id == owner_id, columns.id == id_))
    connection.execute(insert(photo_bytes), row)
    return True


def find_photo(connection: Connection, owner_id: int, id_: str) -> Row[Any] | None:
    """The row of a picture, None when there is none."""
    columns = photo_bytes.c
    query = select(photo_bytes).where(columns.owner_id == owner_id, columns.id == id_)
    return connection.execute(query).one_or_none()


def photos_of(connection: Connection, owner_id: int) -> list[Row[Any]]:
    """The rows of all pictures of an owner, by id."""
    columns = photo_bytes.c
    query = select(photo_bytes).where(columns.owner_id == owner_id).order_by(columns.id)
    return [*connection.execute(query)]


def photo_path(folder: Path, row: Row[Any]) -> Path:
    """Where the bytes of a row stand."""
    return _path(folder, row.owner_id, row.sha256)


def _path(folder: Path, owner_id: int, sha256: str) -> Path:
    return folder / str(owner_id) / sha256[:2] / sha256


def _write_whole(path: Path, content: bytes) -> None:
    """All of it or nothing: written beside, made durable, then renamed."""
    if path.is_file():
        return
    path.parent.mkdir(parents=True, exist_ok=True)
    descriptor, beside = tempfile.mkstemp(dir=path.parent)
    try:
        with os.fdopen(descriptor, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.replace(beside, path)
    except OSError:
        Path(beside).unlink(missing_ok=True)
        raise
