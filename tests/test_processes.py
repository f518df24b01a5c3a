"""Processes of tests end with their block, and failed waits report the reason."""

from __future__ import annotations

import signal
from pathlib import Path

import pytest

from tests.processes import running, wait_for

STUBBORN = """
import signal, sys, time
signal.signal(signal.SIGTERM, signal.SIG_IGN)
print("ready", flush=True)
time.sleep(600)
"""


def first_line(file: Path) -> str | None:
    return file.read_text() or None


def test_a_process_ends_with_its_block(tmp_path: Path) -> None:
    log = tmp_path / "log"
    with (
        pytest.raises(ZeroDivisionError),
        running(["-c", "import time; time.sleep(600)"], log) as process,
    ):
        raise ZeroDivisionError
    assert process.returncode == -signal.SIGTERM


def test_a_process_that_ignores_the_end_is_killed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tests.processes.END_S", 0.1)
    log = tmp_path / "log"
    with running(["-c", STUBBORN], log) as process:
        assert wait_for(lambda: first_line(log), process, log) == "ready\n"
    assert process.returncode == -signal.SIGKILL


def test_a_wait_ends_with_the_process_and_its_log(tmp_path: Path) -> None:
    log, output = tmp_path / "log", tmp_path / "output"
    fails = ["-c", "import sys; sys.exit('no such port')"]
    with (
        running(fails, log, output=output) as process,
        pytest.raises(AssertionError, match="ended with 1; its log:\nno such port"),
    ):
        wait_for(lambda: first_line(output), process, log)


def test_silent_process_ends_the_wait(tmp_path: Path) -> None:
    log = tmp_path / "log"
    with (
        running(["-c", "import time; time.sleep(600)"], log) as process,
        pytest.raises(AssertionError, match=r"said nothing in 0\.1 s"),
    ):
        wait_for(lambda: first_line(log), process, log, most_s=0.1)
