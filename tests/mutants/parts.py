"""Mutated files, their tests, minimum percentages of killed mutants, and equivalent mutants."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Part:
    """`floor`: minimum percentage of killed mutants. `sample`: number of mutants tried (0: all)."""

    sources: tuple[str, ...]
    tests: tuple[str, ...]
    floor: float
    sample: int = 0


VECTORS = "tests/rules/test_vectors.py"
BUSY = "tests/auth/test_rate_limit.py::test_busy_database_does_not_block_requests"
HASHED = "tests/auth/test_sign_in.py::test_database_holds_no_usable_credential"
HOUR = "tests/auth/test_login_throttle.py::test_wrong_attempts_are_limited_to_100_an_hour"
WALK = "tests/auth/test_isolation.py::test_no_route_returns_data_of_another_owner"
HOSTILE = "tests/sync/test_hostile.py::test_known_ids_and_tokens_give_no_access_to_others"


def without(*slow: str) -> list[str]:
    """Deselect tests that are slow or that check the cost of a hash, which is lowered here."""
    return [f"--deselect={name}" for name in slow]


# Minimums are measured values, rounded down.
PARTS = {
    "sync": Part(
        ("webapp/sync",),
        ("tests/sync", VECTORS, *without("tests/sync/test_convergence.py", HOSTILE)),
        99,
    ),
    "auth": Part(
        ("webapp/auth",),
        ("tests/auth", *without(HASHED, WALK, HOUR, BUSY)),
        99,
    ),
    "labels": Part(
        (
            "webapp/rules/alcohol_range.py",
            "webapp/rules/alcohol_rule.py",
            "webapp/rules/numbers.py",
        ),
        ("tests/rules/test_alcohol_range.py", "tests/rules/test_alcohol_range_edges.py", VECTORS),
        99,
    ),
    "palate": Part(("webapp/palate",), ("tests/palate", VECTORS), 95, sample=400),
    "records": Part(
        ("webapp/records",),
        ("tests/records",),
        99,
    ),
}


def _read_equivalent() -> dict[tuple[str, str, str, str], str]:
    """Read the mutants that behave like the original code, with the reason."""
    listed = json.loads((Path(__file__).parent / "equivalent.json").read_text("utf-8"))
    return {(one["file"], one["line"], one["before"], one["after"]): one["why"] for one in listed}


EQUIVALENT = _read_equivalent()
