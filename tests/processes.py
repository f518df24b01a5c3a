"""Processes that tests start, and waits for them that report why they ended."""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Protocol, TypeVar

T = TypeVar("T")
ROOT = Path(__file__).resolve().parents[1]
# Only a process that hangs takes this long, because one that fails ends the wait at once.
START_S = 240
END_S = 30


class Ending(Protocol):
    """A process that can be asked whether it has ended."""

    returncode: Any

    def poll(self) -> int | None: ...


@contextmanager
def running(
    arguments: list[str], log: Path, *, output: Path | None = None, **given: Any
) -> Iterator[subprocess.Popen[bytes]]:
    """Run `python *arguments` until the block ends.

    Its stderr is written to `log`, and its stdout to `output` or, by default, to `log` too.
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
    """Terminate the process, and kill it if it does not end."""
    process.terminate()
    try:
        process.wait(timeout=END_S)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()


def wait_for(
    value: Callable[[], T | None],
    process: Ending,
    log: Path,
    most_s: float = START_S,
) -> T:
    """Wait for a result of `value` other than None; raise if the process ends or hangs before."""
    deadline = time.monotonic() + most_s
    why = f"the process said nothing in {most_s} s"
    while time.monotonic() < deadline:
        ended = process.poll() is not None
        found = value()
        if found is not None:
            return found
        if ended:
            why = f"the process ended with {process.returncode}"
            break
        time.sleep(0.05)
    raise AssertionError(f"{why}; its log:\n{log.read_text(errors='replace')[-4000:]}")
