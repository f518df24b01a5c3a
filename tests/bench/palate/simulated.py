"""The learner and standard methods on simulated tasters, with 10, 20, 40 and 80 bottles.

Two ranking measures, each (accuracy - 0.5) / (oracle's - 0.5) over pairs of new bottles: against
the taster's true liking (the oracle is never wrong), and against their next noisy answers (the
oracle knows the true liking). "Style and label": only style and printed alcohol of the new bottles
are known.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from tests.bench.palate.oracle import informed_share, knows_the_taster
from tests.bench.palate.simulated_tasters import WARMTH, Bottles, Taster
from webapp.palate import Palate, fit_palate
from webapp.palate.data.wine_styles import WARMTH_SPREAD, warmth_of

from .baselines import METHODS
from .measures import covered, log_loss, rank_accuracy, rank_share
from .tables import print_table

SIZES = (10, 20, 40, 80)
FRESH = 200
Results = dict[tuple[str, str, int], list[float]]
LIMIT = "knows the kind of people"
TRUE, NEW = "true liking", "next answers"
OWN, OWN_MARKS = "second nose", "second nose, just-right marks"


def run(
    styles: Sequence[Mapping[str, Any]], tasters: int, seed: int, limit: bool, keen: bool = False
) -> None:
    """Print all tables for a number of tasters."""
    results: Results = defaultdict(list)
    chances: dict[tuple[str, int], list[np.ndarray]] = defaultdict(list)
    for number in range(tasters):
        taster = Taster(styles, seed + number, keen)
        bottles, fresh = taster.taste(max(SIZES)), taster.taste(FRESH)
        _perfect(results, taster, fresh)
        for n in SIZES:
            _own(results, chances, taster, bottles.first(n), fresh, n)
            _usual(results, taster, bottles.first(n), fresh, n)
            if limit:
                share = informed_share(taster, bottles.first(n), fresh)
                results["judged: " + TRUE, LIMIT, n].append(share)
    _print(results, chances, tasters)


def _ranks(results: Results, way: str, name: str, n: int, fresh: Bottles, mean: np.ndarray) -> None:
    oracle = rank_accuracy(fresh.liking, fresh.truth)
    results[f"{way}: {TRUE}", name, n].append(rank_share(fresh.truth, mean))
    results[f"{way}: {NEW}", name, n].append(rank_share(fresh.liking, mean, oracle))


def _perfect(results: Results, taster: Taster, fresh: Bottles) -> None:
    """Add the upper bound: the taster is fully known, the bottle only as perceived."""
    mean = knows_the_taster(taster, fresh)
    for n in SIZES:
        _ranks(results, "judged", "knows the taster wholly", n, fresh, mean)


def _own(
    results: Results,
    chances: dict[tuple[str, int], list[np.ndarray]],
    taster: Taster,
    bottles: Bottles,
    fresh: Bottles,
    n: int,
) -> None:
    names = [taster.space.styles[i] for i in fresh.style]
    known, spread = label_only(fresh)
    for name, marks in ((OWN, None), (OWN_MARKS, bottles.marks)):
        palate = learned(taster, bottles, marks)
        found = palate.predict(fresh.X, names)
        _ranks(results, "judged", name, n, fresh, found.mean)
        label = palate.predict(known, names, spread)
        _ranks(results, "style and label", name, n, fresh, label.mean)
        error = np.sqrt(np.mean((found.mean - fresh.truth) ** 2))
        results["error against the true liking", name, n].append(error)
        for how, one in (("judged", found), ("style and label", label)):
            inside = covered(fresh.liking, one.mean, one.sd)
            results[f"80 % interval covers, {how}", name, n].append(inside)
        liked = fresh.liking >= 7
        results["log-loss of 7 or more", name, n].append(log_loss(liked, found.p_like))
        chances[name, n].append(np.column_stack([found.p_like, liked]))


def learned(taster: Taster, bottles: Bottles, marks: np.ndarray | None) -> Palate:
    table: dict[str, Any] = {
        "X": bottles.X,
        "liking": bottles.liking,
        "style": [taster.space.styles[i] for i in bottles.style],
    }
    return fit_palate(table if marks is None else {**table, "just_right": marks}, taster.space)


def label_only(fresh: Bottles) -> tuple[np.ndarray, np.ndarray]:
    """Return the attributes known from a label and their sd; NaN for the others."""
    known, spread = np.full((2, *fresh.X.shape), np.nan)
    known[:, WARMTH], spread[:, WARMTH] = warmth_of(fresh.abv), WARMTH_SPREAD
    return known, spread


def _usual(results: Results, taster: Taster, bottles: Bottles, fresh: Bottles, n: int) -> None:
    world, one_hot = taster.space, np.eye(len(taster.styles))

    def table(x: np.ndarray, style: np.ndarray) -> np.ndarray:
        return np.hstack([(x - world.centre) / world.scale, one_hot[style]])

    by_label = np.array(world.profile)[fresh.style]
    by_label[:, WARMTH] = warmth_of(fresh.abv)
    train = table(bottles.X, bottles.style)
    test = np.vstack([table(fresh.X, fresh.style), table(by_label, fresh.style)])
    for name, method in METHODS.items():
        mean, sd = method(train, bottles.liking, bottles.style, test, np.tile(fresh.style, 2))
        _ranks(results, "judged", name, n, fresh, mean[:FRESH])
        _ranks(results, "style and label", name, n, fresh, mean[FRESH:])
        inside = covered(fresh.liking, mean[:FRESH], sd[:FRESH])
        results["80 % interval covers, judged", name, n].append(inside)


def _print(
    results: Results, chances: dict[tuple[str, int], list[np.ndarray]], tasters: int
) -> None:
    for measure in dict.fromkeys(key[0] for key in results):
        names = dict.fromkeys(key[1] for key in results if key[0] == measure)
        rows = {name: [float(np.mean(results[measure, name, n])) for n in SIZES] for name in names}
        print_table(f"{measure} (mean of {tasters} tasters)", SIZES, rows)
        if ": " in measure:
            best = [max(METHODS, key=lambda name, i=i: rows[name][i]) for i in range(len(SIZES))]
            _factors(results, measure, "the best usual method", best)
            if LIMIT in rows:
                _factors(results, measure, LIMIT, [LIMIT] * len(SIZES))
    for (name, n), parts in chances.items():
        _reliability(f"{name}, {n} bottles", np.concatenate(parts))


def _factors(results: Results, measure: str, title: str, others: Sequence[str]) -> None:
    """Print the ratios of the means to another method at each size, with standard errors."""
    rows: dict[str, list[float]] = {}
    for name in (OWN, OWN_MARKS):
        found = [
            _ratio(np.array(results[measure, name, n]), np.array(results[measure, other, n]))
            for n, other in zip(SIZES, others, strict=True)
        ]
        rows[f"{name}: factor"] = [ratio for ratio, _ in found]
        rows[f"{name}: error"] = [error for _, error in found]
    print_table(f"  against {title}: {', '.join(others)}", SIZES, rows)


def _ratio(own: np.ndarray, other: np.ndarray) -> tuple[float, float]:
    """Return the ratio of the means and its standard error, paired by taster (delta method)."""
    ratio = float(own.mean() / other.mean())
    apart = own - ratio * other
    return ratio, float(apart.std() / np.sqrt(len(apart)) / other.mean())


def _reliability(title: str, pairs: np.ndarray) -> None:
    fifths = np.array_split(pairs[np.argsort(pairs[:, 0])], 5)
    rows = {
        "given": [fifth[:, 0].mean() for fifth in fifths],
        "came": [fifth[:, 1].mean() for fifth in fifths],
    }
    print_table(f"chance of 7 or more, by fifths: {title}", range(1, 6), rows)
