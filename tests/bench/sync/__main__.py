"""Push and pull of 10,000 tastings, over HTTP and in Chromium, against minimal baselines."""

from __future__ import annotations

import argparse
import itertools
import statistics
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

from tests.bench.sync.cpu_time import with_ours_s
from tests.bench.sync.phones import book_sync, floor_sync, tasks_of_a_sync
from tests.bench.sync.rows import rows_touched_by_an_empty_sync
from tests.bench.sync.servers import Record, Server, book_server, floor_server, notes
from tests.bench.sync.wire import BookSide, floor_pull, floor_push, hundred_changes_s
from tests.browser.browser_paths import find_browser
from tests.browser.conftest import FLAGS

AIM = 1.5
HUNDRED_MS = 50
LONG_MS = 50


@dataclass(frozen=True)
class Line:
    """Row of the table; `bound` is the baseline of the same run, or a fixed target."""

    name: str
    taken: float
    bound: float
    aim: float
    unit: str = "s"

    @property
    def missed(self) -> bool:
        return self.taken > self.bound * self.aim

    def __str__(self) -> str:
        figures = f"{self.taken:9.3f}{self.bound:9.3f}{self.taken / self.bound:8.2f}{self.aim:6.1f}"
        return f"{self.name:<44}{self.unit:>3}{figures}" + ("  missed" if self.missed else "")


class Bench:
    """Runs with new servers each; app and baseline alternate, so that both meet the same load."""

    def __init__(self, folder: Path, records: list[Record], times: int) -> None:
        self.folder = folder
        self.records = records
        self.times = times
        self.numbers = itertools.count()

    @contextmanager
    def servers(self) -> Iterator[tuple[Server, Server]]:
        number = next(self.numbers)
        with (
            book_server(self.folder / f"book{number}") as book,
            floor_server(self.folder / f"floor{number}") as floor,
        ):
            yield book, floor

    def on_the_wire(self) -> Iterator[Line]:
        count = len(self.records)
        up, down = _Pairs(), _Pairs()
        for _ in range(self.times):
            with self.servers() as (book, floor):
                up.add(
                    lambda book=book: on_wire(book, lambda url: BookSide(url).push(self.records)),
                    lambda floor=floor: on_wire(floor, lambda url: floor_push(url, self.records)),
                )
                down.add(
                    lambda book=book: on_wire(book, lambda url: other_phone(url).pull(count)),
                    lambda floor=floor: on_wire(floor, lambda url: floor_pull(url, count)),
                )
        for name, pairs in (("wire: first push", up), ("wire: first pull", down)):
            yield pairs.line(name)
            yield pairs.line(name + ", processor time", place=1)
        with self.servers() as (book, _):
            BookSide(book.url).push(self.records)
            spent_ms = 1000 * hundred_changes_s(book.url, self.records, max(5, self.times))
            yield Line("100 changes, request to answer", spent_ms, HUNDRED_MS, 1, "ms")

    def in_the_browser(self, browser: Browser) -> Iterator[Line]:
        count = len(self.records)
        up, down = _Pairs(), _Pairs()
        for _ in range(self.times):
            with self.servers() as (book, floor):
                up.add(
                    lambda book=book: (book_sync(browser, book.url, self.records, count),),
                    lambda floor=floor: (floor_sync(browser, floor.url, self.records, 0),),
                )
                down.add(
                    lambda book=book: (book_sync(browser, book.url, [], count),),
                    lambda floor=floor: (floor_sync(browser, floor.url, [], count),),
                )
        yield up.line("Chromium: first push")
        yield down.line("Chromium: first pull")

    def long_tasks(self, browser: Browser, slower: int) -> Iterator[Line]:
        with self.servers() as (book, _):
            for name, unsent in (("push", self.records), ("pull", [])):
                tasks = [one * slower for one in tasks_of_a_sync(browser, book.url, unsent)]
                over = sum(one > LONG_MS for one in tasks)
                text = f"longest task, {name} ({over} over {LONG_MS} ms)"
                yield Line(text, max(tasks), LONG_MS, 1, "ms")


def on_wire(server: Server, work: Callable[[str], float]) -> tuple[float, float]:
    """Return wall-clock seconds and processor seconds of client and server."""
    return with_ours_s(server.pid, lambda: work(server.url))


def other_phone(url: str) -> BookSide:
    return BookSide(url, "otherphone")


Figures = tuple[float, ...]


class _Pairs:
    """Measurements of the app and of the baseline, taken alternately."""

    def __init__(self) -> None:
        self.taken: list[tuple[Figures, Figures]] = []

    def add(self, book: Callable[[], Figures], floor: Callable[[], Figures]) -> None:
        # The second measurement meets warmer caches, so the order alternates.
        if len(self.taken) % 2:
            second = floor()
            self.taken.append((book(), second))
        else:
            self.taken.append((book(), floor()))

    def line(self, name: str, place: int = 0) -> Line:
        book, floor = (
            statistics.median(one[place] for one in side) for side in zip(*self.taken, strict=True)
        )
        return Line(name, book, floor, AIM)


def main() -> int:
    """Print the table; return 1 if a target is missed."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.sync", description=__doc__)
    parser.add_argument("--tastings", type=int, default=10_000)
    parser.add_argument("--times", type=int, default=5, help="runs of which the median is taken")
    parser.add_argument("--slower", type=int, default=4, help="times that the processor is slowed")
    parser.add_argument("--only", choices=["wire", "browser", "tasks"])
    given = parser.parse_args()
    print(f"{'':<44}{'':>3}{'taken':>9}{'floor':>9}{'ratio':>8}{'aim':>6}")
    missed = 0
    with tempfile.TemporaryDirectory() as folder:
        for line in lines(Path(folder), given):
            print(line, flush=True)
            missed += line.missed
    return int(missed > 0)


def lines(folder: Path, given: argparse.Namespace) -> Iterator[Line]:
    bench = Bench(folder, notes(given.tastings), given.times)
    if given.only in (None, "wire"):
        yield from bench.on_the_wire()
        rows = rows_touched_by_an_empty_sync(folder)
        yield Line("rows touched by an empty sync", rows, 1, 1, "")
    if given.only == "wire":
        return
    path = find_browser()
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=FLAGS)
        if given.only in (None, "browser"):
            yield from bench.in_the_browser(browser)
        if given.only in (None, "tasks"):
            yield from bench.long_tasks(browser, given.slower)
        browser.close()


if __name__ == "__main__":
    sys.exit(main())
