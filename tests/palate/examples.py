"""Attribute spaces and simulated tastings for the palate's tests."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np

from tests.bench.palate.simulated_tasters import Bottles, Taster
from webapp.palate import AttributeSpace
from webapp.palate.fit.prior import Grid
from webapp.palate.fit.regression import Mixture, Sums, answers_over, solve, with_groups
from webapp.palate.fit.relevance_ep import Factors

ROOT = Path(__file__).parent.parent.parent
STYLES: list[dict[str, Any]] = json.loads(
    (ROOT / "static" / "spec" / "styles.json").read_text(encoding="utf-8")
)["styles"]


def plain_world(k: int = 3, **more: Any) -> AttributeSpace:
    """Return a space of k attributes on 0-10 (mean 5, spread 2) and two groups of two styles."""
    return AttributeSpace(
        [f"a{i}" for i in range(k)],
        np.full(k, 5.0),
        np.full(k, 2.0),
        ("s0", "s1", "s2", "s3"),
        5.0 + np.linspace(-2, 2, 4)[:, None] * np.linspace(1, 0.5, k),
        np.full((4, k), 1.0),
        ("g0", "g0", "g1", "g1"),
        low=0.0,
        high=10.0,
        **more,
    )


def plain_tastings(n: int, k: int = 3, seed: int = 0, marks: bool = True) -> dict[str, Any]:
    """Return n tastings in the plain space by a taster who prefers the first attribute near 6."""
    rng = np.random.default_rng(seed)
    x = np.clip(rng.normal(5, 2, (n, k)), 0, 10)
    liking = np.clip(np.round(7 - (x[:, 0] - 6) ** 2 / 5 + rng.normal(0, 0.8, n)), 1, 9)
    table: dict[str, Any] = {
        "X": x,
        "liking": liking,
        "style": [f"s{i}" for i in rng.integers(0, 4, n)],
    }
    if marks:
        table["just_right"] = np.clip(np.round((x - 6) / 2), -1, 1)
    return table


def taster_table(taster: Taster, bottles: Bottles, marks: bool = False) -> dict[str, Any]:
    """Return a simulated taster's bottles as `fit_palate` takes them."""
    table: dict[str, Any] = {
        "X": bottles.X,
        "liking": bottles.liking,
        "style": style_names(taster, bottles),
    }
    if marks:
        table["just_right"] = bottles.marks
    return table


def style_names(taster: Taster, bottles: Bottles) -> list[Any]:
    return [taster.space.styles[i] for i in bottles.style]


def solved(sums: Sums, grid: Grid, factors: Factors) -> Mixture:
    """Return the posteriors at all grid points, with the effects of the groups."""
    known = answers_over(sums, grid, factors.shift.shape[1])
    return with_groups(known, solve(known, grid, factors))
