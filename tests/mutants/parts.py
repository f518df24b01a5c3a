"""What is mutated, by which tests, how much must be killed, and which mutants change nothing."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Part:
    """`floor`: percent of mutants that must be killed. `sample`: how many are tried (0: all)."""

    sources: tuple[str, ...]
    tests: tuple[str, ...]
    floor: float
    sample: int = 0


VECTORS = "tests/trade/test_vectors.py"

PARTS = {
    "sync": Part(("webapp/sync",), ("tests/sync", "tests/api/test_contract.py", VECTORS), 0),
    "accounts": Part(("webapp/accounts",), ("tests/accounts",), 0),
    "labels": Part(
        ("webapp/trade/label.py", "webapp/trade/label_rule.py", "webapp/trade/numbers.py"),
        ("tests/trade/test_label.py", VECTORS),
        0,
    ),
    "palate": Part(("webapp/palate",), ("tests/palate", VECTORS), 0),
    "records": Part(("webapp/records",), ("tests/records", "tests/api/test_photos.py"), 0),
}

# Mutants that behave as the code does: file, line as it stands, before, after, and why.
EQUIVALENT: dict[tuple[str, str, str, str], str] = {}
