"""Mutants outside functions (constants, classes, defaults), each with a new import of the server.

Libraries are imported before the fork, the server and its tests in the fork.
"""

from __future__ import annotations

import contextlib
import importlib
import warnings
from importlib.machinery import SourceFileLoader
from pathlib import Path
from types import CodeType

import pytest

from tests.mutants.child import KILLED, SURVIVED, forked, run_tests, silence
from tests.mutants.source import Mutant, Source
from tests.mutants.warm import SteadyRun

OWN = ("webapp", "tests", "pytest", "_pytest", "xdist", "conftest", "__main__")
Test = tuple[str, float, list[str]]


def import_libraries(names: list[str]) -> None:
    """Import the modules that tests need, except the server, its tests and pytest."""
    for name in names:
        if name.split(".")[0] not in OWN:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")
                try:
                    importlib.import_module(name)
                except Exception:  # some modules cannot be imported on their own
                    continue


def dies(mutant: Mutant, source: Source, tests: list[Test], arguments: list[str]) -> bool:
    """Return whether a test fails, starting with those that run lines of the file."""
    near = [one for one in tests if str(source.path) in one[2]]
    far = [one for one in tests if one not in near]
    return any(
        forked(lambda some=some: _try(mutant, source, some, arguments)) != SURVIVED  # type: ignore[misc]
        for some in (near, far)
        if some
    )


def _try(mutant: Mutant, source: Source, tests: list[Test], arguments: list[str]) -> int:
    silence()
    mutant.put()
    _put_code(source.code(), source.path)
    runner = _Runner({name: seconds for name, seconds, _ in tests})
    files = sorted({name.split("::")[0] for name, _, _ in tests})
    with contextlib.suppress(BaseException):
        pytest.main([*files, *arguments], plugins=[runner])
    return runner.status


def _put_code(code: CodeType, path: Path) -> None:
    usual = SourceFileLoader.get_code

    def get_code(self: SourceFileLoader, name: str) -> CodeType | None:
        return code if self.path == str(path) else usual(self, name)

    SourceFileLoader.get_code = get_code  # type: ignore[method-assign]


class _Runner(SteadyRun):
    """Pytest plugin that runs the named tests, fastest first, until one fails."""

    def __init__(self, seconds: dict[str, float]) -> None:
        self.seconds = seconds
        self.status = KILLED

    @pytest.hookimpl
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        found = {item.nodeid: item for item in session.items if isinstance(item, pytest.Function)}
        names = sorted(self.seconds, key=self.seconds.__getitem__)
        # A missing test means that the mutant changed its parameters, so it counts as killed.
        if not session.testsfailed and all(name in found for name in names):
            items = [found[name] for name in names]
            self.status = run_tests(items, [self.seconds[name] for name in names])
        return True
