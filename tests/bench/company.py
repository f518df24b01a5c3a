"""Bottles for company: `python -m tests.bench.company [--evenings 60] [--sheets 8] [--seed 1]`.

Four simulated people taste the same bottles at a table and are learned from their sheets. Then one
bottle is chosen from a shelf, of which only style and label are known: the leader's own favourite,
or one by each order for company. The tables compare what the least pleased person truly feels.
"""

from __future__ import annotations

import argparse
import json
from collections import defaultdict
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from tests.bench.palate.simulated import label_only, learned
from tests.bench.palate.simulated_tasters import Bottles, Taster
from tests.bench.palate.tables import print_table
from tests.reference.palate_company import company_score

STYLES = Path(__file__).parents[2] / "static" / "spec" / "styles.json"
PEOPLE = 4
SHELF = 12
PLEASED = 6
LEADER = "leader's favourite"
ORDERS = {
    "best on average": lambda found: found["mean"],
    "nobody left out": lambda found: found["expected_least"],
    "all like it": lambda found: found["all_like"],
}


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.bench.company", description=__doc__)
    parser.add_argument("--evenings", type=int, default=60)
    parser.add_argument("--sheets", type=int, default=8, help="bottles at the table (8)")
    parser.add_argument("--seed", type=int, default=1)
    chosen = parser.parse_args()
    styles = json.loads(STYLES.read_text(encoding="utf-8"))["styles"]
    least, mean = defaultdict(list), defaultdict(list)
    for evening in range(chosen.evenings):
        seed = chosen.seed * 100_000 + evening * PEOPLE
        for name, truth in play(styles, seed, chosen.sheets).items():
            least[name].append(truth.min())
            mean[name].append(truth.mean())
    _print(least, mean, chosen.evenings, chosen.sheets)


def play(styles: Sequence[Mapping[str, Any]], seed: int, sheets: int) -> dict[str, np.ndarray]:
    """Return everybody's true liking of the bottle that each order chooses."""
    people = [Taster(styles, seed + number) for number in range(PEOPLE)]
    table, shelf = people[0].draw(sheets), people[0].draw(SHELF)
    sheets_of = [one.judge(*table) for one in people]
    judged = [one.judge(*shelf) for one in people]
    scores = [_predict(*each) for each in zip(people, sheets_of, judged, strict=True)]
    truth = np.array([one.truth for one in judged])
    found = [
        company_score([{"id": str(i), "score": one[bottle]} for i, one in enumerate(scores)])
        for bottle in range(SHELF)
    ]
    chosen = {LEADER: max(range(SHELF), key=lambda bottle: scores[0][bottle]["mean"])}
    for name, weight in ORDERS.items():
        chosen[name] = max(range(SHELF), key=lambda bottle: weight(found[bottle]))
    return {name: truth[:, bottle] for name, bottle in chosen.items()}


def _predict(person: Taster, tasted: Bottles, shelf: Bottles) -> list[dict[str, Any]]:
    known, spread = label_only(shelf)
    names = [person.space.styles[i] for i in shelf.style]
    found = learned(person, tasted, tasted.marks).predict(known, names, spread)
    return [
        {"mean": float(mean), "sd": float(sd), "p_like": float(p_like), "reasons": []}
        for mean, sd, p_like in zip(found.mean, found.sd, found.p_like, strict=True)
    ]


def _print(
    least: dict[str, list[float]], mean: dict[str, list[float]], evenings: int, sheets: int
) -> None:
    leader = np.array(least[LEADER])
    rows = {}
    for name, values in least.items():
        gain = np.array(values) - leader
        rows[name] = [
            float(np.mean(mean[name])),
            float(np.mean(values)),
            float(np.mean(gain)),
            float(np.std(gain) / np.sqrt(evenings)),
            float(np.mean(gain > 0)),
            float(np.mean(gain < 0)),
            float(np.mean(np.array(values) >= PLEASED)),
        ]
    # Margin: of the least pleased person's liking over the leader's favourite, with its error;
    # share of evenings on which that person is better or worse off, or feels at least 6.
    columns = ["mean", "least", "margin", "error", "better", "worse", "6 up"]
    print_table(f"{evenings} evenings of {PEOPLE}, {sheets} sheets each", columns, rows)


if __name__ == "__main__":
    main()
