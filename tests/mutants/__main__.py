"""Try mutants of the server: `python -m tests.mutants [PART ...] [--file NAME] [--sample N]`.

Prints the survivors and a table; exits with 1 if a part is below its minimum.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import shutil
import sys
import tempfile
import time
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TextIO

# Set before numpy is imported, because its worker threads do not survive a fork.
os.environ["OPENBLAS_NUM_THREADS"] = "1"

import pytest

from tests.mutants.child import SURVIVED, forked
from tests.mutants.cold import dies, import_libraries
from tests.mutants.parts import EQUIVALENT, PARTS, Part
from tests.mutants.source import Mutant, Source, read_source

ROOT = Path(__file__).parents[2]
OPTIONS = [
    *("-q", "-m", "not browser and not postgres", "-p", "no:cacheprovider"),
    *("-o", "tmp_path_retention_policy=none", "-W", "ignore::pytest.PytestAssertRewriteWarning"),
]
NOTHING_TO_DO = 0


@dataclass
class Result:
    """Result of one part."""

    part: str
    killed: int = 0
    survived: list[Mutant] = field(default_factory=list)
    skipped: int = 0
    seconds: float = 0

    @property
    def percent(self) -> float:
        return 100 * self.killed / max(1, self.killed + len(self.survived))


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.mutants", description=__doc__)
    parser.add_argument("parts", nargs="*", metavar="PART", help=f"of {', '.join(PARTS)}")
    parser.add_argument("--file", action="append", help="only files that end so; asks no floor")
    parser.add_argument("--tests", nargs="+", help="run these instead of the part's; asks no floor")
    parser.add_argument("--sample", type=int, help="try so many of each part, chosen at random")
    parser.add_argument("--seed", type=int, default=1, help="of the sample; another one, others")
    parser.add_argument("--again", type=Path, help="only those that this earlier printout names")
    asked = parser.parse_args()
    os.chdir(ROOT)
    results = []
    for name in asked.parts or PARTS:
        part = PARTS[name]
        if asked.tests:
            part = replace(part, tests=(*asked.tests, *_deselected(part)))
        results.append(_run_part(name, part, asked))
        _print_survivors(results[-1])
    print(f"\n{'part':<10}{'killed':>8}{'survived':>10}{'percent':>9}{'floor':>7}{'minutes':>9}")
    for one in results:
        print(
            f"{one.part:<10}{one.killed:>8}{len(one.survived):>10}{one.percent:>9.1f}"
            f"{PARTS[one.part].floor:>7}{one.seconds / 60:>9.1f}"
        )
    whole = not (asked.file or asked.again or asked.tests)
    low = whole and any(one.percent < PARTS[one.part].floor for one in results)
    return 1 if low else 0


def _run_part(name: str, part: Part, asked: argparse.Namespace) -> Result:
    began = time.monotonic()
    sources = _sources(part)
    every = [mutant for source in sources.values() for mutant in source.mutants]
    chosen = [one for one in every if one.key not in EQUIVALENT]
    result = Result(name, skipped=len(every) - len(chosen))
    _warn_of_stale(sources, every)
    chosen = _choose(chosen, asked, asked.sample or part.sample)
    print(f"{name}: {len(chosen)} mutants of {len(every)}, {result.skipped} named equivalent")
    verdicts: dict[Mutant, bool | None] = {}
    folder = Path(tempfile.mkdtemp(prefix="snmutants"))
    try:
        _try_all(part, sources, chosen, folder, verdicts)
    finally:
        shutil.rmtree(folder, ignore_errors=True)
    result.survived = [one for one in chosen if not verdicts[one]]
    result.killed = len(chosen) - len(result.survived)
    result.seconds = time.monotonic() - began
    return result


def _deselected(part: Part) -> list[str]:
    return [one for one in part.tests if one.startswith("--deselect")]


def _choose(mutants: list[Mutant], asked: argparse.Namespace, sample: int) -> list[Mutant]:
    if asked.file:
        mutants = [one for one in mutants if one.file.endswith(tuple(asked.file))]
    if asked.again:
        text = asked.again.resolve().read_text("utf-8")
        mutants = [one for one in mutants if one.file in text and f"  {one.change}\n" in text]
    if sample and len(mutants) > sample:
        places = sorted(random.Random(asked.seed).sample(range(len(mutants)), sample))
        mutants = [mutants[place] for place in places]
    return mutants


def _warn_of_stale(sources: dict[str, Source], every: list[Mutant]) -> None:
    """Report listed equivalent mutants that no longer match any line."""
    keys = {mutant.key for mutant in every}
    for key in EQUIVALENT:
        if key[0] in sources and key not in keys:
            print(f"equivalent.json: no such mutant any more: {key[0]}  {key[2]}  ->  {key[3]}")


def _sources(part: Part) -> dict[str, Source]:
    files = [
        file
        for given in part.sources
        for file in (sorted((ROOT / given).rglob("*.py")) or [ROOT / given])
    ]
    names = {str(file.relative_to(ROOT)): file for file in files}
    return {name: read_source(file, name) for name, file in names.items()}


def _try_all(
    part: Part,
    sources: dict[str, Source],
    chosen: list[Mutant],
    folder: Path,
    verdicts: dict[Mutant, bool | None],
) -> None:
    """Try all in forks with loaded tests, and then those that need a new import of the server."""
    notes, values = folder / "notes.json", folder / "verdicts"
    values.write_text("")
    if forked(lambda: _warm(part, sources, chosen, folder)) != SURVIVED:
        raise SystemExit("The tests do not pass without a mutant; see above.")
    marks = values.read_text().split()
    verdicts.update(zip(chosen, (_VERDICTS[mark] for mark in marks), strict=True))
    noted = json.loads(notes.read_text())
    import_libraries(noted["modules"])
    tests = [(name, seconds, files) for name, seconds, files in noted["tests"]]
    arguments = [*OPTIONS, "--basetemp", str(folder / "cold")]
    for mutant in [one for one in chosen if verdicts[one] is None]:
        verdicts[mutant] = dies(mutant, sources[mutant.file], tests, arguments)
        _show(verdicts[mutant], mutant)


_VERDICTS = {"k": True, "s": False, "n": None}


def _warm(part: Part, sources: dict[str, Source], chosen: list[Mutant], folder: Path) -> int:
    from tests.mutants.warm import Warm

    shown = os.fdopen(os.dup(1), "w")
    result = (folder / "verdicts").open("a")

    def report(mutant: Mutant, killed: bool | None) -> None:
        result.write({True: "k\n", False: "s\n", None: "n\n"}[killed])
        result.flush()
        _show(killed, mutant, shown)

    warm = Warm(sources, chosen, report)
    plugins = [warm]
    pytest.main([*part.tests, *OPTIONS, "--basetemp", str(folder / "warm")], plugins=plugins)
    if warm.failed or not warm.items:
        print(warm.failed or "no tests were found", file=shown, flush=True)
        return 1
    (folder / "notes.json").write_text(warm.notes())
    return 0


def _show(killed: bool | None, mutant: Mutant, out: TextIO | None = None) -> None:
    """Print a mark for a mutant: killed, survived (with its name), or to be tried again."""
    mark = {True: ".", False: f"S  {mutant}\n", None: "-"}[killed]
    print(mark, end="", flush=True, file=out)


def _print_survivors(result: Result) -> None:
    print()
    for one in result.survived:
        print(f"  {one}\n      {one.line}")


if __name__ == "__main__":
    sys.exit(main())
