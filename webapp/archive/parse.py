"""Import, first half: parses a ZIP or folder in the format of `webapp.archive`, or rejects it."""

from __future__ import annotations

import io
import json
import re
import struct
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import IO, Any, NoReturn
from uuid import UUID

from webapp import spec
from webapp.archive.file_names import files_in, folder_around, is_of_the_system
from webapp.archive.zip_central_directory import ENTRY_BYTES, directory_bytes
from webapp.records.record import Record, Revision
from webapp.records.repository import Key
from webapp.records.validate import is_id
from webapp.sync.hlc import is_clock
from webapp.sync.limits import size_error
from webapp.sync.parse import (
    MAX_UNKNOWN_LENGTH,
    InvalidRecord,
    characters,
    is_field_name,
    latest_clock,
    parse_record,
    storage_error,
)

FORMAT = 1
MAX_FILES = 100_000
# Text of one file is in memory at once; ten thousand tastings take about a tenth of this.
MAX_TEXT_BYTES = 128_000_000
MAX_LINE_BYTES = 8_000_000
MAX_PHOTO_BYTES = 20_000_000
DERIVED = ("tastings.csv", "group_tastings.csv")
_PHOTO_NAME = re.compile(r"photos/([0-9a-f-]{36})\.(jpg|webp)")


# What the codes of InvalidArchive mean, for the operator; phones have words of their own.
REASONS = {
    "damaged": "this part is damaged",
    "file_twice": "the archive has this file twice",
    "missing": "the archive has no such file; is it one of Second Nose?",
    "no_record": "this earlier value belongs to no record of the archive or the notebook",
    "not_found": "there is no such folder",
    "not_json": "this line is no JSON",
    "not_picture": "this picture cannot be read",
    "not_revision": "this is no earlier value",
    "not_zip": "it is no ZIP",
    "other_format": "it is of another version of the format",
    "other_kind": "this record belongs to another file",
    "record_twice": "the archive has this record twice",
    "refused": "these values are not allowed",
    "too_big": "this record is too large",
    "too_large": "it is too large",
    "too_long": "this line is too long",
    "too_many_files": "it has too many files",
    "too_many_pixels": "this picture is too large",
    "unknown_file": "no archive has such a file; 'secondnose restore' reads backups",
}


class InvalidArchive(ValueError):
    """The archive is invalid: `place` is "file" or "file:line", `code` and `errors` the reason."""

    def __init__(self, place: str, code: str, errors: Any = None) -> None:
        details = f" {json.dumps(errors)}" if errors else ""
        # A sentence goes before, and the name of a file keeps its letters.
        first = place.replace("the file", "The file")
        super().__init__(f"{first}: {REASONS[code]}{details}")
        self.place = place
        self.code = code
        self.errors = errors


@dataclass(slots=True)
class RevisionEntry:
    """One line of revisions.jsonl."""

    kind: str
    id: str
    revision: Revision
    overruled_at: int | None


@dataclass(slots=True)
class Archive:
    """A valid archive; nothing has been written yet.

    `records` and `revisions` parse the files again, because all of them may not fit in memory.
    `ids`: those of the records of each kind, as numbers, which are smaller than texts.
    `without_record`: what revisions name and the archive does not have. `latest_clock`: of all.
    `photos` maps an id to a reader of bytes.
    """

    records: Callable[[], Iterator[Record]]
    revisions: Callable[[], Iterator[RevisionEntry]]
    ids: dict[str, set[int]] = field(default_factory=dict)
    without_record: set[Key] = field(default_factory=set)
    latest_clock: str = ""
    photos: dict[str, Callable[[], bytes]] = field(default_factory=dict)

    def keys(self) -> Iterator[Key]:
        """Yield the key of each record."""
        return ((kind, str(UUID(int=id_))) for kind, ids in self.ids.items() for id_ in ids)


Files = dict[str, Callable[[], bytes]]


def read_folder(folder: Path) -> Archive:
    """Read an archive from a folder. Raises InvalidArchive."""
    if not folder.is_dir():
        raise InvalidArchive(str(folder), "not_found")
    paths = {
        name: path
        for path in files_in(folder)
        if path.is_file() and not is_of_the_system(name := path.relative_to(folder).as_posix())
    }
    around = folder_around([*paths])
    ours = {name.removeprefix(around): path.read_bytes for name, path in paths.items()}
    return _read({name: read for name, read in ours.items() if _is_ours(name)})


def read_zip(file: IO[bytes], max_bytes: int) -> Archive:
    """Read an archive from a ZIP that unpacks to at most `max_bytes`. Raises InvalidArchive."""
    if directory_bytes(file) > MAX_FILES * ENTRY_BYTES:
        raise InvalidArchive("the file", "too_many_files", {"bound": MAX_FILES})
    try:
        archive = zipfile.ZipFile(file)
    except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError, struct.error):
        raise InvalidArchive("the file", "not_zip") from None
    entries = [entry for entry in archive.infolist() if not entry.filename.endswith("/")]
    if len(entries) > MAX_FILES:
        raise InvalidArchive("the file", "too_many_files", {"bound": MAX_FILES})
    if sum(entry.file_size for entry in entries) > max_bytes:
        raise InvalidArchive("the file", "too_large", {"bound": max_bytes})
    entries = [entry for entry in entries if not is_of_the_system(entry.filename)]
    folder = folder_around([entry.filename for entry in entries])
    files: Files = {}
    for entry in entries:
        name = entry.filename.removeprefix(folder)
        if not _is_ours(name):
            raise InvalidArchive(repr(entry.filename), "unknown_file")
        if name in files:
            raise InvalidArchive(entry.filename, "file_twice")
        files[name] = _reader(archive, entry)
    _check_sizes(entries, folder)
    return _read(files)


def _check_sizes(entries: list[zipfile.ZipInfo], folder: str) -> None:
    text_bytes = 0
    for entry in entries:
        if not entry.filename.startswith(f"{folder}photos/"):
            text_bytes += entry.file_size
        elif entry.file_size > MAX_PHOTO_BYTES:
            raise InvalidArchive(entry.filename, "too_large", {"bound": MAX_PHOTO_BYTES})
    if text_bytes > MAX_TEXT_BYTES:
        raise InvalidArchive("the file", "too_large", {"bound": MAX_TEXT_BYTES})


def _reader(archive: zipfile.ZipFile, entry: zipfile.ZipInfo) -> Callable[[], bytes]:
    def read() -> bytes:
        try:
            # The size in the header may be false, so read at most one byte more than that.
            with archive.open(entry) as opened:
                content = opened.read(entry.file_size + 1)
        except (
            zipfile.BadZipFile,
            OSError,
            EOFError,
            RuntimeError,
            NotImplementedError,
            ValueError,
        ):
            raise InvalidArchive(entry.filename, "damaged") from None
        except Exception as error:
            if type(error).__module__ not in ("zlib", "lzma", "_lzma", "bz2"):
                raise
            raise InvalidArchive(entry.filename, "damaged") from None
        if len(content) != entry.file_size:
            raise InvalidArchive(entry.filename, "damaged")
        return content

    return read


def _is_ours(name: str) -> bool:
    known = ("book.json", "revisions.jsonl", *DERIVED, *(f"{kind}.jsonl" for kind in spec.kinds()))
    photo = _PHOTO_NAME.fullmatch(name)
    return name in known or (photo is not None and is_id(photo[1]))


def _read(files: Files) -> Archive:
    _check_head(files)
    content = Archive(
        lambda: (record for kind in spec.kinds() for _, record in _records(files, kind)),
        partial(_revisions, files),
    )
    for kind in spec.kinds():
        ids = content.ids[kind] = set[int]()
        for place, record in _records(files, kind):
            id_ = UUID(record["id"]).int
            if id_ in ids:
                raise InvalidArchive(place, "record_twice", {"id": record["id"]})
            ids.add(id_)
            content.latest_clock = max(content.latest_clock, latest_clock(record) or "")
    for entry in _revisions(files):
        if UUID(entry.id).int not in content.ids[entry.kind]:
            content.without_record.add((entry.kind, entry.id))
        content.latest_clock = max(content.latest_clock, entry.revision["clock"])
    for name, read in files.items():
        photo = _PHOTO_NAME.fullmatch(name)
        if photo is not None:
            content.photos[photo[1]] = read
    return content


def _records(files: Files, kind: str) -> Iterator[tuple[str, Record]]:
    for place, value in _lines(files, f"{kind}.jsonl"):
        yield place, _read_line(place, kind, value)


def _revisions(files: Files) -> Iterator[RevisionEntry]:
    return (_read_revision(*line) for line in _lines(files, "revisions.jsonl"))


def _check_head(files: Files) -> None:
    if "book.json" not in files:
        raise InvalidArchive("book.json", "missing")
    head = _json("book.json", files["book.json"]())
    if not isinstance(head, dict) or head.get("format") != FORMAT:
        raise InvalidArchive("book.json", "other_format", {"bound": FORMAT})


def _lines(files: Files, name: str) -> Iterator[tuple[str, Any]]:
    content = files[name]() if name in files else b""
    for number, line in enumerate(io.BytesIO(content), start=1):
        if len(line) > MAX_LINE_BYTES:
            raise InvalidArchive(f"{name}:{number}", "too_long", {"bound": MAX_LINE_BYTES})
        if line.strip():
            yield f"{name}:{number}", _json(f"{name}:{number}", line)


def _json(place: str, text: bytes) -> Any:
    try:
        return json.loads(text.decode("utf-8-sig"), parse_constant=_reject_constant)
    except (ValueError, RecursionError):
        raise InvalidArchive(place, "not_json") from None


def _reject_constant(name: str) -> NoReturn:
    raise ValueError(name)


def _read_line(place: str, kind: str, value: Any) -> Record:
    try:
        record = parse_record({"kind": kind, **value} if isinstance(value, dict) else value)
    except InvalidRecord as error:
        raise InvalidArchive(place, "refused", error.errors) from None
    if record["kind"] != kind:
        raise InvalidArchive(place, "other_kind", {"kind": record["kind"]})
    problem = size_error(record)
    if problem is not None:
        raise InvalidArchive(place, "too_big", problem)
    return record


def _read_revision(place: str, value: Any) -> RevisionEntry:
    at = value.get("overruled_at") if isinstance(value, dict) else None
    sound = (
        isinstance(value, dict)
        and value.get("kind") in spec.kinds()
        and is_id(value.get("id"))
        and isinstance(value.get("field"), str)
        and (value["field"] == "deleted" or is_field_name(value["field"]))
        and is_clock(value.get("clock"))
        and storage_error(value.get("value")) is None
        and characters(value.get("value")) <= MAX_UNKNOWN_LENGTH
        and (at is None or (isinstance(at, int) and not isinstance(at, bool) and 0 <= at < 2**53))
    )
    if not sound:
        raise InvalidArchive(place, "not_revision")
    revision = Revision(field=value["field"], value=value.get("value"), clock=value["clock"])
    return RevisionEntry(value["kind"], value["id"], revision, at)
