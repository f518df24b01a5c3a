"""Where the bytes of pictures are: a folder, or a bucket with the S3 protocol.

A picture is named by its owner and its SHA-256. `storage` decides which are written and deleted.
"""

from __future__ import annotations

import errno
import re
from collections.abc import Collection, Iterator
from functools import cache
from pathlib import Path
from typing import Protocol

from webapp.errors import StartupError

S3_SCHEME = "s3://"
_SHA256 = re.compile(r"[0-9a-f]{64}")


class StoreUnavailable(OSError):
    """The store of pictures cannot be reached, or rejects the server; retrying may succeed."""

    def __init__(self, cause: str) -> None:
        super().__init__(errno.EHOSTDOWN, f"The photo store cannot be used: {cause}")

    def __str__(self) -> str:
        return str(self.strerror)


class PhotoFiles(Protocol):
    """The bytes of pictures. Every method may raise OSError."""

    def write(self, owner_id: int, sha256: str, content: bytes) -> None:
        """Store a picture durably and completely, or not at all; one that exists stays."""

    def read(self, owner_id: int, sha256: str) -> bytes | None:
        """Return the bytes of a picture, None if it is not there."""

    def existing(self, owner_id: int, shas: Collection[str]) -> set[str]:
        """Return those hashes whose pictures are there."""

    def delete(self, owner_id: int, shas: Collection[str]) -> None:
        """Delete the pictures of these hashes, if they are there."""

    def delete_owner(self, owner_id: int) -> None:
        """Delete all pictures of an owner."""

    def older_than(self, owner_id: int, until_s: float) -> set[str]:
        """Return the hashes of pictures written before `until_s`; delete old parts of pictures."""

    def all_names(self) -> Iterator[tuple[int, str]]:
        """Yield (owner, hash) of every picture, by name."""

    def check(self) -> None:
        """Write and delete something."""


@cache
def photo_files(location: str) -> PhotoFiles:
    """Return the store at a location: a folder, or `s3://bucket` or `s3://bucket/prefix`.

    Raises StartupError for S3 if boto3 is not installed.
    """
    if location.startswith(S3_SCHEME):
        # boto3 takes half a second and 30 MB, so only servers that need it import it.
        try:
            from webapp.photos.s3 import S3Files
        except ImportError:
            message = "Photos in a bucket need boto3: pip install 'secondnose[s3]'."
            raise StartupError(message) from None
        bucket, _, prefix = location.removeprefix(S3_SCHEME).partition("/")
        return S3Files(bucket, prefix)
    from webapp.photos.folder import FolderFiles

    return FolderFiles(Path(location))


def photo_name(owner_id: int, sha256: str) -> str:
    """Return the name of a picture within its store; the two digits keep folders small."""
    return f"{owner_id}/{sha256[:2]}/{sha256}"


def parse_photo_name(name: str) -> tuple[int, str] | None:
    """Return (owner, hash) of a name that `photo_name` made, None of any other."""
    owner, _, rest = name.partition("/")
    prefix, _, digest = rest.partition("/")
    if not (owner.isascii() and owner.isdecimal() and _SHA256.fullmatch(digest)):
        return None
    return (int(owner), digest) if prefix == digest[:2] else None
