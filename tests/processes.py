"""Processes that a test starts: each ends with the test, and each wait says why it ended."""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, TypeVar

T = TypeVar("T")
ROOT = Path(__file__).resolve().parents[1]
# A process that fails ends the wait at once; only one that hangs makes it last so long.
START_S = 240
END_S = 30


@contextmanager
def running(
    arguments: list[str], log: Path, *, output: Path | None = None, **given: Any
) -> Iterator[subprocess.Popen[bytes]]:
    """`python *arguments` for as long as the block lasts.

    Its errors go to `log`, and what it prints to `output`, or to `log` as well.
    """
    with log.open("ab") as errors, (output or log).open("ab") as printed:
        process = subprocess.Popen(
            [sys.executable, *arguments], cwd=ROOT, stdout=printed, stderr=errors, **given
        )
    try:
        yield process
    finally:
        end(process)


def end(process: subprocess.Popen[bytes]) -> None:
    """Ask it to end, and kill it where it does not."""
    process.terminate()
    try:
        process.wait(timeout=END_S)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()


def wait_for(
    told: Callable[[], T | None],
    process: subprocess.Popen[bytes],
    log: Path,
    most_s: float = START_S,
) -> T:
    """What `told` gives once it gives something. Raises when the process ends or hangs before."""
    deadline = time.monotonic() + most_s
    why = f"the process said nothing in {most_s} s"
    while time.monotonic() < deadline:
        ended = process.poll() is not None
        found = told()
        if found is not None:
            return found
        if ended:
            why = f"the process ended with {process.returncode}"
            break
        time.sleep(0.05)
    raise AssertionError(f"{why}; its log:\n{log.read_text(errors='replace')[-4000:]}")
