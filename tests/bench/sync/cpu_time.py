"""Processor time of another process.

On a busy machine wall-clock time also includes the time of other processes.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from pathlib import Path


def spent_s(pid: int) -> float:
    """Return user plus system seconds; Linux only (proc(5), fields 14 and 15 of stat)."""
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def with_ours_s(pid: int, work: Callable[[], float]) -> tuple[float, float]:
    """Return the result of `work` and its processor time in this and the other process."""
    before = spent_s(pid) + time.process_time()
    result = work()
    return result, spent_s(pid) + time.process_time() - before
