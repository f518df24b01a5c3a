"""Temporary folders in memory, if there is enough space.

The server waits for the disk at every commit, which would slow down tests with many commits.
"""

from __future__ import annotations

import os
import shutil

MEMORY = "/dev/shm"
NEEDED_BYTES = 2_000_000_000


def memory_folder() -> str | None:
    """Return a folder in memory with enough space for a test run, or None."""
    if not os.access(MEMORY, os.W_OK):
        return None
    return MEMORY if shutil.disk_usage(MEMORY).free >= NEEDED_BYTES else None


def keep_temporary_folders_in_memory() -> None:
    """Let pytest create `tmp_path` in memory, unless the environment sets another folder."""
    folder = memory_folder()
    if folder is not None:
        os.environ.setdefault("PYTEST_DEBUG_TEMPROOT", folder)
