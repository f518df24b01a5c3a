"""Generator of tests/vectors/teaching.json: `python -m tests.palate.make_teaching_vectors`.

The palates and bottles are those of the score vectors. The expected numbers are computed by the
Python code, which use/test_information.py checks against the full palate.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from tests.palate.make_score_vectors import shelf_vectors, write_vectors
from tests.reference.palate_scoring import information_gain

FILE = Path(__file__).parent.parent / "vectors" / "teaching.json"


def make_vectors() -> dict[str, Any]:
    return shelf_vectors(
        information_gain,
        "rules/palate/information_gain.js#informationGain",
        1e-9,
        "make_teaching_vectors.py",
    )


if __name__ == "__main__":
    write_vectors(FILE, make_vectors())
