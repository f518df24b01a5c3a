"""Runs the invariant of a target over many cases."""

from __future__ import annotations

from dataclasses import dataclass
from random import Random
from types import ModuleType
from typing import Any

from hypothesis import HealthCheck, Phase, given, note, seed, settings
from hypothesis import strategies as st
from hypothesis.strategies import SearchStrategy

from tests.fuzz import book_zips, pictures, sync_bodies
from tests.fuzz.server import Server, opened_server, watched


@dataclass(frozen=True)
class Target:
    """A module with `law`, `mutant` and `afterwards`, and its first cases."""

    name: str
    module: ModuleType
    cases: SearchStrategy[Any]


TARGETS = [
    Target("sync bodies", sync_bodies, sync_bodies.bodies()),
    Target("book archives", book_zips, book_zips.archives()),
    Target("pictures", pictures, pictures.pictures()),
]


MUTANTS = 9


def run(target: Target, count: int, start: int | None = None) -> Server:
    """Try `count` cases, of which nine in ten are mutations of the tenth.

    Raise the exception of the first failing case, after shrinking it.
    """

    def holds(server: Server) -> None:
        @settings(
            max_examples=max(1, count // (1 + MUTANTS)),
            deadline=None,
            database=None,
            suppress_health_check=list(HealthCheck),
            phases=(Phase.generate, Phase.shrink),
        )
        @given(case=target.cases, sown=st.integers(0, 2**32))
        def law(case: Any, sown: int) -> None:
            random = Random(sown)
            for tried in [case, *(target.module.mutant(case, random) for _ in range(MUTANTS))]:
                note(f"tried {tried!r:.2000}")
                with watched():
                    target.module.law(server, tried)

        (seed(start)(law) if start is not None else law)()

    with opened_server() as server:
        holds(server)
        target.module.afterwards(server)
        return server
