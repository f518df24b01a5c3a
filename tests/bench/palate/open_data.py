"""Benchmark on open data sets: liking of products with known profiles, some with JAR ratings.

Reads <name>_products.csv (product, style, attributes) and <name>_liking.csv (person, product,
session, liking, just_right_*) from a folder. Either two products are left out or five are
learned from; repeats of a product in both sessions are never split.
"""

from __future__ import annotations

import csv
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from itertools import islice
from pathlib import Path
from typing import Any

import numpy as np
from scipy.special import ndtr

from webapp.palate import AttributeSpace, fit_palate

from .baselines import METHODS
from .correlated import KINDS, correlated_panel
from .differences import OWN, Table, print_differences
from .measures import Tally, covered, log_loss, pairs_right
from .panels import Panel
from .tables import print_table

OWN_MARKS = "second nose, just-right marks"
WAYS = (("two products left out", -2), ("learned from five", 5))
Results = tuple[float, float, float, int, float]
COLUMNS = ("RMSE", "log-loss", "rank", "covers", "people")


def read_panel(folder: Path, name: str) -> Panel:
    products = _rows(folder / f"{name}_products.csv")
    attributes = [column for column in products[0] if column not in ("product", "style")]
    profile = np.array([[float(row[column]) for column in attributes] for row in products])
    style = [row["style"] for row in products]
    people: dict[str, list[tuple[int, float, list[float]]]] = defaultdict(list)
    rows = _rows(folder / f"{name}_liking.csv")
    for row in rows:
        marks = [float(row.get(f"just_right_{column}") or "nan") for column in attributes]
        people[row["person"]].append((int(row["product"]), float(row["liking"]), marks))
    marked = any(column.startswith("just_right_") for column in rows[0])
    return Panel(name, _world(attributes, profile, style), profile, style, people, marked)


def _rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _world(attributes: list[str], profile: np.ndarray, style: list[str]) -> AttributeSpace:
    names = sorted(set(style))
    spread = np.where(profile.std(0) > 0, profile.std(0), 1.0)
    if len(names) == 1:
        return AttributeSpace(attributes, profile.mean(0), spread, names)
    parts = [profile[[s == name for s in style]] for name in names]
    means, sds = (np.array([getattr(part, what)(0) for part in parts]) for what in ("mean", "std"))
    return AttributeSpace(attributes, profile.mean(0), spread, names, means, sds)


def run(folder: Path, splits: int, seed: int, people: int = 0) -> None:
    """Print a table for each data set and each way to split it."""
    tables = []
    for path in sorted(folder.glob("*_products.csv")):
        panel = read_panel(folder, path.name.removesuffix("_products.csv"))
        if people:
            some = dict(islice(panel.people.items(), people))
            panel = replace(panel, people=some)
        for title, kept in WAYS:
            tables.append(_table([panel], f"{panel.name}: {title}", kept, splits, seed))
    print_differences("open panels", tables)


def run_correlated(worlds: int, people: int, seed: int) -> None:
    """Print the same tables over synthetic worlds, one for each kind of taster."""
    tables = []
    for kind in KINDS:
        panels = [correlated_panel(kind, seed + world, people) for world in range(worlds)]
        for title, kept in WAYS:
            tables.append(_table(panels, f"{kind}, {worlds} worlds: {title}", kept, 1, seed))
    print_differences("correlated worlds", tables)


def _table(panels: Sequence[Panel], title: str, kept: int, splits: int, seed: int) -> Table:
    tallies: dict[str, list[Tally]] = defaultdict(list)
    for panel in panels:
        _tally_people(panel, kept, splits, seed, tallies)
    lines = {name: _line(found, splits) for name, found in tallies.items()}
    print_table(title, COLUMNS, lines)
    print_differences("  difference", [tallies])
    return tallies


def _tally_people(
    panel: Panel, kept: int, splits: int, seed: int, tallies: dict[str, list[Tally]]
) -> None:
    rng = np.random.default_rng(seed)
    for person, rows in panel.people.items():
        products = sorted({product for product, _, _ in rows})
        for _ in range(splits):
            train_on = set(rng.permutation(products)[:kept].tolist())
            found = _split(
                panel,
                [row for row in rows if row[0] in train_on],
                [row for row in rows if row[0] not in train_on],
            )
            for name, results in found.items():
                tallies[name].append(Tally(f"{panel.name}/{person}", *results))


def _line(found: list[Tally], splits: int) -> list[float]:
    right, pairs = sum(t.right for t in found), sum(t.pairs for t in found)
    return [
        float(np.sqrt(np.mean([t.squared for t in found]))),
        float(np.mean([t.log_loss for t in found])),
        right / pairs,
        float(np.mean([t.covered for t in found])),
        len(found) / splits,
    ]


def _split(panel: Panel, train: list[Any], test: list[Any]) -> dict[str, Results]:
    results: dict[str, Results] = {}
    a, y, marks = (np.array(part) for part in zip(*train, strict=True))
    b, t, _ = (np.array(part) for part in zip(*test, strict=True))
    names, fresh = [panel.style[i] for i in a], [panel.style[i] for i in b]
    table = {"X": panel.profile[a], "liking": y, "style": names}
    for name, more in ((OWN, {}), (OWN_MARKS, {"just_right": marks})):
        if name == OWN_MARKS and not panel.marked:
            continue
        palate = fit_palate({**table, **more}, panel.space)
        found = palate.predict(panel.profile[b], fresh)
        results[name] = _results(t, found.mean, found.sd, found.p_like)
    f, styles = _columns(panel)
    for name, method in METHODS.items():
        mean, sd = method(f[a], y, styles[a], f[b], styles[b])
        results[name] = _results(t, mean, sd, ndtr((mean - palate.like_threshold) / sd))
    return results


def _columns(panel: Panel) -> tuple[np.ndarray, np.ndarray]:
    z = panel.space.to_z(panel.profile)
    styles = panel.space.style_index(panel.style, len(panel.style))
    count = len(panel.space.styles)
    return (np.hstack([z, np.eye(count)[styles]]) if count > 1 else z), styles


def _results(t: np.ndarray, mean: np.ndarray, sd: np.ndarray, chance: np.ndarray) -> Results:
    inside = covered(t, mean, sd)
    return float(np.mean((mean - t) ** 2)), log_loss(t >= 7, chance), *pairs_right(t, mean), inside
