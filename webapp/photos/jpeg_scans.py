"""Finds a JPEG of too many scans, from the parts of the file, without decoding it.

A scan of a progressive JPEG may take some 40 bytes, and decoding it visits every block again.
"""

from __future__ import annotations

import re

# ITU-T T.81, B.1: 0xFF and a byte that is neither 0 (data), 0xFF (fill) nor a restart marker.
_MARKER = re.compile(rb"\xff([^\x00\x01\xd0-\xd8\xff])")
# An ICC profile has at most 255, which is the most that a camera needs (ICC.1:2022, B.4).
MOST_SEGMENTS = 5_000
_START_OF_SCAN, _END = b"\xda", b"\xd9"


def has_many_scans(content: bytes, limit: int) -> bool:
    """Tell whether a JPEG has more scans than `limit`, or so many segments that no camera made it.

    It reads up to the end marker; what follows (a film, a second picture) does not count.
    """
    at = scans = segments = 0
    while (marker := _MARKER.search(content, at)) is not None and marker[1] != _END:
        scans += marker[1] == _START_OF_SCAN
        segments += 1
        if scans > limit or segments > MOST_SEGMENTS:
            return True
        # The two bytes after the marker are the length of its segment, themselves included.
        at = marker.end() + int.from_bytes(content[marker.end() : marker.end() + 2])
    return False
