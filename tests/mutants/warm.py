"""Mutants inside functions and of plain constants.

The tests are collected once, and those that run the changed line run in a fork for each mutant.
"""

from __future__ import annotations

import functools
import gc
import json
import mmap
import random
import re
import sys
import threading
import time
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from types import CodeType, FrameType, FunctionType
from typing import Any

import pytest
from _pytest.runner import runtestprotocol
from argon2 import PasswordHasher
from hypothesis import Phase, settings

from tests.mutants.child import KILLED, SURVIVED, UNFIT, forked, run_tests, silence
from tests.mutants.constants import exchange_constant, named_constant
from tests.mutants.source import Mutant, Source

# Slower tests (processor seconds) are skipped, because each survivor runs all its tests.
SLOW_S = 0.5
CHECKED_EVERY = 10
# Number of tests with the latest kills, which are tried first.
LAST = 12
Line = tuple[str, int]
Verdict = Callable[[Mutant, bool | None], None]


def same_examples_each_time() -> None:
    """Let Hypothesis draw the same examples in each run, without shrinking."""
    settings.register_profile(
        "mutants",
        parent=settings.get_profile("book"),
        derandomize=True,
        database=None,
        phases=[Phase.explicit, Phase.generate],
        max_examples=60,
    )
    settings.load_profile("mutants")


def cheap_hashes() -> None:
    """Lower the cost of argon2 (3 passes of 64 MiB), because tests run thousands of times."""
    from webapp.auth import passphrase  # late: `cold` reimports the server in each fork

    passphrase._hasher = PasswordHasher(time_cost=1, memory_cost=16, parallelism=1)


class SteadyRun:
    """Pytest plugin that makes tests deterministic and cheap."""

    @pytest.hookimpl
    def pytest_configure(self) -> None:
        same_examples_each_time()

    @pytest.hookimpl
    def pytest_collection_finish(self) -> None:
        cheap_hashes()


class Warm(SteadyRun):
    """Pytest plugin that finds which tests run which lines, and tries each mutant on those."""

    def __init__(self, sources: dict[str, Source], chosen: Sequence[Mutant], values: Verdict):
        self.sources = sources
        self.chosen = chosen
        self.report = values
        self.files = {str(source.path) for source in sources.values()}
        self.lines: list[set[Line]] = []
        self.seconds: list[float] = []
        self.items: list[pytest.Function] = []
        self.caches: list[Any] = []
        self.failed = ""
        self.users = {path: _users_of(path, self.files) for path in self.files}
        # Number of tests that a mutant has survived; the fork writes it to shared memory.
        self.reached = memoryview(mmap.mmap(-1, mmap.PAGESIZE)).cast("i")
        self.kills: list[int] = []

    @pytest.hookimpl
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        if session.testsfailed:
            self.failed = "the tests could not be collected"
            return True
        self.items = [item for item in session.items if isinstance(item, pytest.Function)]
        self.caches = [one for one in _living(functools._lru_cache_wrapper) if self._ours(one)]
        self._trace(session)
        if not self.failed:
            self._check_forks()
        if not self.failed:
            self._try_all()
        return True

    def notes(self) -> str:
        """Return tests, times, files and modules as JSON, for the runs with new imports."""
        tests = [
            [item.nodeid, seconds, sorted({file for file, _ in lines})]
            for item, seconds, lines in zip(self.items, self.seconds, self.lines, strict=True)
            if seconds <= SLOW_S
        ]
        return json.dumps({"tests": tests, "modules": sorted(sys.modules)})

    def _ours(self, cached: Any) -> bool:
        code = getattr(cached.__wrapped__, "__code__", None)
        return code is not None and code.co_filename in self.files

    def _trace(self, session: pytest.Session) -> None:
        """Run every test once and record which lines of the part's files it runs."""
        for item in self.items:
            lines: set[Line] = set()
            self._forget()
            began = time.process_time()
            with _Traced(self.files, lines):
                reports = _run(item, session)
            seconds = time.process_time() - began
            if seconds > SLOW_S and not any(report.failed for report in reports):
                # The first test of a session fixture is slow only once.
                began = time.process_time()
                reports = _run(item, session)
                seconds = time.process_time() - began
            self.seconds.append(seconds)
            self.lines.append(lines)
            bad = [report for report in reports if report.failed]
            if bad:
                self.failed = f"{item.nodeid} fails without a mutant:\n{bad[0].longreprtext}"
                return

    def _check_forks(self) -> None:
        """Check that some tests pass in a fork without a mutant, or all would count as killed."""
        quick = [place for place, seconds in enumerate(self.seconds) if seconds <= SLOW_S]
        some = quick[::CHECKED_EVERY]

        def work() -> int:
            silence()
            self._forget()
            return run_tests([self.items[at] for at in some], [self.seconds[at] for at in some])

        if forked(work) != SURVIVED:
            self.failed = "tests that pass here fail in a fork"

    def _forget(self, path: str | None = None) -> None:
        """Clear the caches, or those that depend on one file."""
        for cached in self.caches:
            if path is None or cached.__wrapped__.__code__.co_filename in self.users[path]:
                cached.cache_clear()

    def _try_all(self) -> None:
        functions = [one for one in _living(FunctionType) if one.__code__.co_filename in self.files]
        quick = [place for place, seconds in enumerate(self.seconds) if seconds <= SLOW_S]
        order = sorted(quick, key=lambda place: self.seconds[place])
        for mutant in self.chosen:
            lines = self._lines_of(mutant, functions)
            tests = [place for place in order if not lines.isdisjoint(self.lines[place])]
            if not tests:
                self.report(mutant, None)
                continue
            # Tests that killed the previous mutants are likely to kill this one too.
            tests.sort(key=lambda place: self.kills.index(place) if place in self.kills else LAST)
            status = forked(functools.partial(self._try, mutant, tests, functions))
            if status == KILLED:
                self._remember(tests[self.reached[0]])
            # A constant may have been used at the import, so it is tried there again.
            again = status == UNFIT or (status == SURVIVED and not mutant.swap)
            self.report(mutant, None if again else status == KILLED)

    def _lines_of(self, mutant: Mutant, functions: list[FunctionType]) -> set[Line]:
        """Return the lines whose tests are run: its own, or those of functions with its name."""
        source = self.sources[mutant.file]
        if mutant.swap:
            return {(str(source.path), line) for line in range(mutant.first, mutant.last + 1)}
        name = named_constant(mutant, source)
        users = [one.__code__ for one in functions if name in one.__code__.co_names]
        return {
            (code.co_filename, line) for code in users for _, _, line in code.co_lines() if line
        }

    def _remember(self, place: int) -> None:
        self.kills = [place, *(one for one in self.kills if one != place)][:LAST]

    def _try(self, mutant: Mutant, tests: list[int], functions: list[FunctionType]) -> int:
        silence()
        self.reached[0] = 0
        mutant.put()
        source = self.sources[mutant.file]
        fits = (
            exchange_code(functions, source.code(), str(source.path))
            if mutant.swap
            else exchange_constant(mutant, source)
        )
        if not fits:
            return UNFIT
        self._forget(str(source.path))
        random.seed(0)

        def report(place: int) -> None:
            self.reached[0] = place + 1

        return run_tests(
            [self.items[at] for at in tests], [self.seconds[at] for at in tests], report
        )


def exchange_code(functions: Iterable[FunctionType], module: CodeType, path: str) -> bool:
    """Replace the code of the existing functions of a file by that of the changed file.

    Return False if a function cannot take it, because its closure has other variables.
    """
    new = {(code.co_qualname, code.co_firstlineno): code for code in _codes(module)}
    for function in functions:
        old = function.__code__
        code = new.get((old.co_qualname, old.co_firstlineno))
        if old.co_filename != path or code is None:
            continue
        if code.co_freevars != old.co_freevars:
            return False
        function.__code__ = code
    return True


def _codes(code: CodeType) -> Iterable[CodeType]:
    for constant in code.co_consts:
        if isinstance(constant, CodeType):
            yield constant
            yield from _codes(constant)


def _users_of(path: str, files: set[str]) -> set[str]:
    """Return the file and those of `files` that import it, directly or through others."""
    users, texts = {path}, {file: Path(file).read_text("utf-8") for file in files}
    while True:
        stems = "|".join(Path(one).stem for one in users)
        imported = re.compile(rf"import\b.*\b({stems})\b|\.({stems}) import")
        more = {file for file, text in texts.items() if imported.search(text)}
        if more <= users:
            return users
        users |= more


def _living(kind: type) -> list[Any]:
    # `get_objects` leaves frozen objects out, and tests/conftest.py freezes what was collected.
    gc.unfreeze()
    return [one for one in gc.get_objects() if isinstance(one, kind)]


def _run(item: pytest.Function, session: pytest.Session) -> list[pytest.TestReport]:
    return runtestprotocol(item, nextitem=_OnlySession(session), log=False)  # type: ignore[arg-type]


class _OnlySession:
    """Placeholder for a next test that shares only the session fixtures."""

    def __init__(self, session: pytest.Session) -> None:
        self.session = session

    def listchain(self) -> list[pytest.Session]:
        return [self.session]


class _Traced:
    """Context manager that records the lines run in some files, in this and in new threads."""

    def __init__(self, files: set[str], lines: set[Line]) -> None:
        self.files = files
        self.lines = lines

    def _called(self, frame: FrameType, event: str, arg: object) -> Any:
        return self._line if frame.f_code.co_filename in self.files else None

    def _line(self, frame: FrameType, event: str, arg: object) -> Any:
        self.lines.add((frame.f_code.co_filename, frame.f_lineno))
        return self._line

    def __enter__(self) -> None:
        threading.settrace(self._called)
        sys.settrace(self._called)

    def __exit__(self, *error: object) -> None:
        sys.settrace(None)
        threading.settrace(None)  # type: ignore[arg-type]
