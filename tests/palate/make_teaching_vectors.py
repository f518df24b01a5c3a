"""Makes tests/vectors/teaching.json: `python -m tests.palate.make_teaching_vectors`.

The palates and bottles are those of the shelf score's vectors; the expected numbers are Python's
own, which test_teaching.py holds against the palate itself.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from tests.palate.make_score_vectors import SHELF, invented_styles, invented_tastings
from webapp.palate import learn
from webapp.palate.teaching import teaching
from webapp.palate.wine_styles import wine_world

FILE = Path(__file__).parent.parent / "vectors" / "teaching.json"


def make_vectors() -> dict[str, Any]:
    world = wine_world(invented_styles())
    groups = []
    for n in (0, 3, 40):
        compact = json.loads(json.dumps(learn(invented_tastings(n, n), world).compact()))
        tests = [
            {
                "description": name,
                "args": [compact, bottle],
                "expected": teaching(compact, bottle),
            }
            for name, bottle in SHELF.items()
        ]
        groups.append({"description": f"after {n} tastings", "tests": tests})
    return {
        "python": "webapp.palate.teaching:teaching",
        "js": "trade/teaching.js#teaching",
        "tolerance": 1e-9,
        "source": "computed by the learner; made by tests/palate/make_teaching_vectors.py",
        "groups": groups,
    }


if __name__ == "__main__":
    FILE.write_text(json.dumps(make_vectors(), separators=(",", ":")) + "\n", encoding="utf-8")
    print(f"{FILE.name}: {FILE.stat().st_size} bytes")
