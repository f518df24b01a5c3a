"""Temporary folders in memory, where the machine has the room.

The server waits for the disk at every commit; tests that commit thousands of times need not.
"""

from __future__ import annotations

import os
import shutil

MEMORY = "/dev/shm"
NEEDED_BYTES = 2_000_000_000


def memory_folder() -> str | None:
    """A folder in memory with room for a run of the tests, or None."""
    if not os.access(MEMORY, os.W_OK):
        return None
    return MEMORY if shutil.disk_usage(MEMORY).free >= NEEDED_BYTES else None


def keep_temporary_folders_in_memory() -> None:
    """Tell pytest where to make `tmp_path`, unless somebody has told it."""
    folder = memory_folder()
    if folder is not None:
        os.environ.setdefault("PYTEST_DEBUG_TEMPROOT", folder)
