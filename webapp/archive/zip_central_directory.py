"""Reads the length of a ZIP's central directory before the directory is read into memory.

Layout: PKWARE APPNOTE 6.3.10, sections 4.3.14 to 4.3.16 (status: from memory).
"""

from __future__ import annotations

import struct
from typing import IO

# An entry takes 46 bytes and its name; the names of our files are shorter than 60 bytes.
ENTRY_BYTES = 160
_END = b"PK\x05\x06"
_END_LENGTH, _LONGEST_COMMENT = 22, 65_535
_END_64_PLACE = b"PK\x06\x07"
_END_64 = b"PK\x06\x06"
_TOLD_ELSEWHERE = 0xFFFFFFFF


def directory_bytes(file: IO[bytes]) -> int:
    """Return the length claimed by the end record; 0 if there is none and the file is no ZIP."""
    file.seek(0, 2)
    length = file.tell()
    tail_at = max(0, length - _END_LENGTH - _LONGEST_COMMENT)
    file.seek(tail_at)
    tail = file.read()
    at = tail.rfind(_END)
    if at < 0 or at + _END_LENGTH > len(tail):
        return 0
    (claimed,) = struct.unpack_from("<I", tail, at + 12)
    if claimed != _TOLD_ELSEWHERE:
        return int(claimed)
    return _claimed_64(file, tail_at + at)


def _claimed_64(file: IO[bytes], end_at: int) -> int:
    """Return the length of a ZIP64, whose own end record precedes the ordinary one."""
    file.seek(max(0, end_at - 20))
    signature, _, place, _ = struct.unpack("<4sIQI", file.read(20).ljust(20, b"\0"))
    if signature != _END_64_PLACE:
        return _TOLD_ELSEWHERE
    file.seek(min(place, end_at))
    end = file.read(56).ljust(56, b"\0")
    if not end.startswith(_END_64):
        # Data before the archive shifts all offsets; our archives have none, so reject the file.
        return _TOLD_ELSEWHERE
    return int(struct.unpack_from("<Q", end, 40)[0])
