"""Runs of tests in a forked process until one fails, with time limits."""

from __future__ import annotations

import contextlib
import os
import resource
import signal
import sys
from collections.abc import Callable, Sequence

import pytest
from _pytest.runner import runtestprotocol

SURVIVED, KILLED, UNFIT, BROKEN = 0, 1, 2, 3
Report = Callable[[int], None]


def forked(work: Callable[[], int]) -> int:
    """Do the work in a fork of this process and return its status; KILLED if a signal ended it.

    Raises RuntimeError if the work raised an exception.
    """
    sys.stdout.flush()
    pid = os.fork()
    if pid == 0:
        status = BROKEN
        with contextlib.suppress(BaseException):
            status = work()
        os._exit(status)
    ended = os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1])
    if ended == BROKEN:
        raise RuntimeError("A mutant could not be put in its place.")
    return ended if ended in (SURVIVED, UNFIT) else KILLED


def silence() -> None:
    """Discard the output of the tests."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.dup2(nowhere, 2)
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def run_tests(
    items: Sequence[pytest.Function], seconds: Sequence[float], value: Report | None = None
) -> int:
    """Run the tests until one fails, each limited to ten times its recorded time."""
    for place, item in enumerate(items):
        _limit(seconds[place])
        item._initrequest()
        following = items[min(place + 1, len(items) - 1)]
        try:
            reports = runtestprotocol(item, nextitem=following, log=False)
        except BaseException:  # the mutant made pytest itself exit
            return KILLED
        if any(report.failed for report in reports):
            return KILLED
        if value:
            value(place)
    return SURVIVED


def _limit(seconds: float) -> None:
    """Limit processor time against endless loops and wall-clock time against endless waits."""
    used = resource.getrusage(resource.RUSAGE_SELF)
    bound = int(used.ru_utime + used.ru_stime + 5 + 10 * seconds)
    resource.setrlimit(resource.RLIMIT_CPU, (bound, resource.RLIM_INFINITY))
    signal.alarm(60 + int(40 * seconds))
