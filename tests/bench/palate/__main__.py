"""Benchmark of the palate: `python -m tests.bench.palate [--data DIR] [--worlds 5] [--limit]`.

Set OMP_NUM_THREADS=1 for stable times. Seeds are fixed. Open data sets are read from --data if
given.
"""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from . import open_data, recorded_inputs, simulated, speed

STYLES = Path(__file__).parents[3] / "static" / "spec" / "styles.json"


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.bench.palate", description=__doc__)
    parser.add_argument("--data", type=Path, help="folder with open panels (*_products.csv)")
    parser.add_argument("--tasters", type=int, default=24, help="simulated tasters (24)")
    parser.add_argument("--splits", type=int, default=2, help="splits a person in open panels (2)")
    parser.add_argument("--people", type=int, default=0, help="people a panel at most (0: all)")
    parser.add_argument("--worlds", type=int, default=0, help="correlated worlds of each kind (0)")
    parser.add_argument("--seed", type=int, default=100)
    parser.add_argument(
        "--keen", action="store_true", help="tasters who judge more than twice as exactly"
    )
    parser.add_argument("--inputs", type=int, default=0, help="tasters for recorded inputs (0)")
    parser.add_argument("--limit", action="store_true", help="also the best possible (slow)")
    chosen = parser.parse_args()
    styles = json.loads(STYLES.read_text(encoding="utf-8"))["styles"]
    speed.run(styles, chosen.seed)
    if chosen.tasters:
        simulated.run(styles, chosen.tasters, chosen.seed, chosen.limit, chosen.keen)
    if chosen.data:
        open_data.run(chosen.data, chosen.splits, chosen.seed, chosen.people)
    if chosen.inputs:
        recorded_inputs.run(styles, chosen.inputs, chosen.seed)
    if chosen.worlds:
        open_data.run_correlated(chosen.worlds, chosen.people or 10, chosen.seed)


if __name__ == "__main__":
    main()
