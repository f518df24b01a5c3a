"""Stress runner: all tests twenty times in a row while other processes keep the cores busy.

`python -m tests.stress [--times 20] [file or test ...]`. It stops at the first round that fails,
because a test that fails under load is a defect.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager

from tests.recorded_times import ROOT

BUSY = "while True: pass"


@contextmanager
def busy_cores(count: int) -> Iterator[None]:
    """Keep a number of cores busy until the block ends."""
    spinning = [subprocess.Popen([sys.executable, "-c", BUSY]) for _ in range(count)]
    try:
        yield
    finally:
        for process in spinning:
            process.kill()
            process.wait()


def main() -> int:
    parser = argparse.ArgumentParser(description="Run tests again and again under load.")
    parser.add_argument("--times", type=int, default=20)
    parser.add_argument("tests", nargs="*", default=["tests"])
    given = parser.parse_args()
    command = [sys.executable, "-m", "pytest", "-q", "-n", "auto", "--dist", "loadfile"]
    with busy_cores(os.cpu_count() or 1):
        for turn in range(1, given.times + 1):
            print(f"Round {turn} of {given.times}", flush=True)
            ended = subprocess.run([*command, *given.tests], cwd=ROOT, check=False).returncode
            if ended:
                return ended
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
