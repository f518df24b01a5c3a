"""The exception of a failed start, its exit status, and formatting of errors as one line."""

from __future__ import annotations

import errno

# The exit status at which gunicorn starts no further workers.
CANNOT_START = 3
# Error numbers of a full disk, and of a used up quota.
FULL = (errno.ENOSPC, errno.EDQUOT)


class StartupError(Exception):
    """The program cannot start; the message is one line that says what to do."""


def in_one_line(error: BaseException) -> str:
    """Return the message of a driver or system error, without statement, values or traceback."""
    cause = getattr(error, "orig", None) or error
    message = str(cause)
    if isinstance(cause, OSError) and cause.errno in FULL:
        return disk_full(cause.filename)
    if isinstance(cause, OSError) and cause.strerror and cause.filename is not None:
        message = f"{cause.strerror}: {cause.filename}"
    lines = [line.strip() for line in message.splitlines() if line.strip()]
    return lines[0] if lines else type(cause).__name__


def disk_full(place: object) -> str:
    """Return the line for a full disk; `place` is a folder or file on it, None if unknown."""
    where = f": {place}" if place else ""
    return f"The disk is full{where}. Make room on it, then try again."
