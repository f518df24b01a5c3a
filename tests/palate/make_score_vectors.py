"""Generator of tests/vectors/score.json: `python -m tests.palate.make_score_vectors`.

Palates of invented tasters over five invented styles. The expected numbers are computed by the
Python code, which the tests of the learner check against other sources. The client's port must
agree to 1e-6.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

from tests.reference.palate_scoring import score_bottle
from webapp.palate import fit_palate
from webapp.palate.data.wine_styles import ATTRIBUTES, wine_space

FILE = Path(__file__).parent.parent / "vectors" / "score.json"
USUAL = {
    "brisk_white": ("white", 2.0, 8.0, 0.5, 3.5, 0.5, 5.0, 11.5, 12.0, 12.5),
    "broad_white": ("white", 2.2, 5.5, 0.8, 6.5, 5.0, 6.5, 12.5, 13.5, 14.5),
    "light_red": ("red", 1.8, 6.5, 3.5, 4.0, 1.5, 5.5, 11.5, 12.5, 13.5),
    "stern_red": ("red", 1.6, 6.0, 8.0, 7.5, 6.0, 7.0, 13.0, 14.0, 15.0),
    "late_sweet": ("white", 8.5, 7.0, 0.6, 7.0, 3.0, 8.0, 9.0, 11.0, 14.0),
}
FIELDS = ("sweetness", "acidity", "tannin", "body", "oak", "intensity")
SHELF: dict[str, dict[str, Any]] = {
    "style and printed alcohol": {"style": "stern_red", "label_abv": 14.5},
    "style alone, everything else said to be empty": {
        "style": "brisk_white",
        "label_abv": None,
        **dict.fromkeys(ATTRIBUTES),
    },
    "a style never tasted": {"style": "late_sweet", "label_abv": 8.0},
    "a style that the palate does not know": {"style": "from_elsewhere", "label_abv": 12.5},
    "nothing known": {},
    "alcohol alone, beyond the end of the warmth scale": {"label_abv": 25},
    "no alcohol at all": {"style": "light_red", "label_abv": 0},
    "everything judged": {
        "style": "light_red",
        "label_abv": 12.9,
        **dict(zip(ATTRIBUTES, (1.5, 7.2, 4.1, 4.4, 5.0, 0.8, 6.1), strict=True)),
    },
    "warmth judged against the label": {"style": "broad_white", "label_abv": 12.0, "warmth": 8.8},
    "judged at both ends of the scales": {"style": None, "sweetness": 0, "tannin": 10, "oak": 10},
}
# Asked of a palate learned from ENOUGH tastings only, so that the file stays small.
RECORDED: dict[str, dict[str, Any]] = {
    "sugar and acidity beside the style": {
        "style": "late_sweet",
        "residual_sugar_gl": 95,
        "total_acidity_gl": 8.2,
    },
    "dry with high acidity, judged too": {
        "style": "brisk_white",
        "residual_sugar_gl": 2.5,
        "total_acidity_gl": 9.5,
        "sweetness": 3.0,
    },
    "sugar alone, no style": {"residual_sugar_gl": 700, "total_acidity_gl": None},
    "acidity beyond both ends of the curve": {"style": "light_red", "total_acidity_gl": 30},
    "acidity of nearly nothing": {"total_acidity_gl": 0, "residual_sugar_gl": 0},
    "colour and kind without a style": {"colour": "red", "kind": "still", "label_abv": 13.0},
    "colour without a kind": {"style": None, "colour": "white", "kind": None},
    "kind without a colour": {"style": "from_elsewhere", "kind": "still"},
    "a kind that no style of the colour has": {"colour": "white", "kind": "fortified"},
    "a colour and kind that no style has": {"colour": "amber", "kind": "fortified"},
    "colour and kind beside a style": {"style": "stern_red", "colour": "white", "kind": "still"},
}
ENOUGH = 40


def invented_styles() -> list[dict[str, Any]]:
    return [
        {
            "style_id": name,
            "colour": colour,
            "kind": "still",
            "abv_low": low,
            "abv_typ": typical,
            "abv_high": high,
            **dict(zip(FIELDS, values, strict=True)),
            **{field + "_sd": 0.9 for field in FIELDS},
        }
        for name, (colour, *values, low, typical, high) in USUAL.items()
    ]


def invented_tastings(n: int, seed: int) -> dict[str, Any]:
    """Return n tastings with JAR, of all styles but the last; the taster prefers body near 5."""
    world, rng = wine_space(invented_styles()), np.random.default_rng(seed)
    style = rng.integers(0, len(world.styles) - 1, n)
    spread = np.array(world.profile_spread)[style]
    x = np.round(
        np.clip(np.array(world.profile)[style] + spread * rng.normal(size=spread.shape), 0, 10), 1
    )
    body = x[:, ATTRIBUTES.index("body")]
    liking = np.clip(np.round(8 - (body - 5) ** 2 / 3 + rng.normal(0, 1, n)), 1, 9)
    marks = np.full(x.shape, np.nan)
    marks[:, ATTRIBUTES.index("body")] = np.clip(np.round((body - 5) / 2), -1, 1)
    names = [world.styles[i] for i in style]
    return {"X": x, "liking": liking, "just_right": marks, "style": names}


def make_vectors() -> dict[str, Any]:
    return shelf_vectors(
        score_bottle, "rules/palate/score.js#scoreBottle", 1e-6, "make_score_vectors.py"
    )


def shelf_vectors(
    of: Callable[[Any, Any], Any], js: str, tolerance: float, made_by: str
) -> dict[str, Any]:
    """Make vectors of a function of (compact palate, bottle) from the palates and bottles here."""
    world = wine_space(invented_styles())
    groups = []
    for n in (0, 3, ENOUGH):
        compact = json.loads(json.dumps(fit_palate(invented_tastings(n, n), world).compact()))
        tests = [
            {"description": name, "args": [compact, bottle], "expected": of(compact, bottle)}
            for name, bottle in (SHELF | RECORDED if n == ENOUGH else SHELF).items()
        ]
        groups.append({"description": f"after {n} tastings", "tests": tests})
    return {
        "python": f"{of.__module__}:{of.__name__}",
        "js": js,
        "tolerance": tolerance,
        "source": f"computed by the learner; made by tests/palate/{made_by}",
        "groups": groups,
    }


def write_vectors(file: Path, vectors: dict[str, Any]) -> None:
    file.write_text(json.dumps(vectors, separators=(",", ":")) + "\n", encoding="utf-8")
    print(f"{file.name}: {file.stat().st_size} bytes")


if __name__ == "__main__":
    write_vectors(FILE, make_vectors())
