"""Print how well labels and lists are read: ``python -m tests.bench.label_photos``.

Half of the pictures, those of even number, were looked at during development; the report is of
the other half. `--all` reports both. The reading runs under Node with the client's own code and
engine; `--chromium` reads a few with the worker in Chromium.
"""

from __future__ import annotations

import argparse
import json
import shutil
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image

from tests.bench.label_photos import drawing, lists, photograph, wines
from tests.bench.label_photos.score import Count, judge, judge_rows

ROOT = Path(__file__).parents[3]
READ = ROOT / "tests/bench/label_photos/read.mjs"
LABELS, LISTS = 300, 40
# Pictures are made and read in parts, because one takes four megabytes.
PART = 20


def photo_of(seed: int) -> tuple[wines.Wine, photograph.Photo]:
    """Return the wine of a seed and a photo of its label."""
    wine, how = wines.invent(seed), photograph.conditions(seed)
    px_per_mm = how.fill * photograph.WIDTH / 90
    label = drawing.draw_label(wine, seed, px_per_mm)
    photo = photograph.take(label.picture, label.alcohol, label.digit_mm * px_per_mm, how, seed)
    return wine, photo


def encoded(picture: Image.Image) -> Image.Image:
    """Return the picture after JPEG compression, as a phone stores it."""
    with tempfile.SpooledTemporaryFile() as file:
        picture.save(file, "JPEG", quality=85)
        file.seek(0)
        return Image.open(file).convert("L")


def read(kind: str, pictures: Iterable[Image.Image]) -> list[dict[str, Any]]:
    """Read pictures with the client's code."""
    node = shutil.which("node")
    if node is None:
        sys.exit("Node is needed")
    with tempfile.TemporaryDirectory() as folder:
        files = []
        for at, picture in enumerate(pictures):
            file = Path(folder) / f"{at}.{picture.width}x{picture.height}.gray"
            file.write_bytes(np.asarray(encoded(picture)).tobytes())
            files.append(str(file))
        done = subprocess.run(
            [node, str(READ), kind, *files], cwd=ROOT, check=True, stdout=subprocess.PIPE, text=True
        )
    return [json.loads(line) for line in done.stdout.splitlines()]


def parts(seeds: list[int]) -> Iterator[list[int]]:
    for at in range(0, len(seeds), PART):
        yield seeds[at : at + PART]


def report_labels(seeds: list[int], *, verbose: bool) -> None:
    """Print the table of the labels."""
    names = ["legible", "alcohol, of the legible", "alcohol, of all", "alcohol sure, of all"]
    names += ["alcohol wrong but sure", "vintage, of the legible", "vintage wrong but sure"]
    names += ["style among three, of the legible", "contents, of the legible"]
    table = {name: Count() for name in names}
    times, memory = [], 0.0
    for part in parts(seeds):
        made = [photo_of(seed) for seed in part]
        for seed, (wine, photo), entry in zip(
            part, made, read("label", [photo.picture for _, photo in made]), strict=True
        ):
            verdict = judge(wine, entry["proposals"])
            table["legible"].add(photo.legible)
            table["alcohol, of all"].add(verdict.alcohol)
            table["alcohol sure, of all"].add(verdict.alcohol_sure)
            table["alcohol wrong but sure"].add(verdict.alcohol_sure and not verdict.alcohol)
            table["vintage wrong but sure"].add(verdict.vintage_sure and not verdict.vintage)
            if photo.legible:
                table["alcohol, of the legible"].add(verdict.alcohol)
                table["style among three, of the legible"].add(verdict.style)
                table["contents, of the legible"].add(verdict.volume)
                if verdict.vintage is not None:
                    table["vintage, of the legible"].add(verdict.vintage)
            times.append(entry["cpu_s"])
            memory = max(memory, entry["rss_mb"])
            if verbose and photo.legible and not (verdict.alcohol and verdict.style):
                print(f"  {seed}: {wine.texts} {photograph.conditions(seed)} {entry['lines']}")
    print(f"{len(seeds)} labels")
    for name, count in table.items():
        print(f"  {name:36} {count}")
    _print_cost(times, memory)


def report_lists(seeds: list[int]) -> None:
    """Print the table of the lists."""
    found, priced, complete = Count(), Count(), Count()
    invented, times, memory = 0, [], 0.0
    for part in parts(seeds):
        rows = [lists.invent_rows(seed) for seed in part]
        pictures = [
            lists.take_list(lists.draw_list(some, seed), seed)
            for seed, some in zip(part, rows, strict=True)
        ]
        for some, entry in zip(rows, read("list", pictures), strict=True):
            result = judge_rows(some, entry["rows"])
            for count, hits in (
                (found, result.found), (priced, result.priced), (complete, result.complete),
            ):  # fmt: skip
                count.hits += hits
                count.all += len(some)
            invented += result.invented
            times.append(entry["cpu_s"])
            memory = max(memory, entry["rss_mb"])
    print(f"{len(seeds)} lists")
    print(f"  rows found                           {found}")
    print(f"  with the right prices                {priced}")
    print(f"  and the right vintage and alcohol    {complete}")
    print(f"  rows that are none                   {invented}")
    _print_cost(times, memory)


def _print_cost(times: list[float], memory: float) -> None:
    median, most = statistics.median(times), max(times)
    print(f"  processor time, Node: median {median:.1f} s, most {most:.1f} s")
    print(f"  the same slowed four times: median {4 * median:.1f} s, most {4 * most:.1f} s")
    print(f"  memory of the process: {memory:.0f} MB")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--all", action="store_true", help="report the other half too")
    parser.add_argument("--labels", type=int, default=LABELS, help="how many labels")
    parser.add_argument("--lists", type=int, default=LISTS, help="how many lists")
    parser.add_argument("--verbose", action="store_true", help="show what was missed")
    parser.add_argument("--chromium", action="store_true", help="read a few in Chromium")
    asked = parser.parse_args()
    if asked.chromium:
        from tests.bench.label_photos.chromium import report_chromium

        report_chromium()
        return
    step = 1 if asked.all else 2
    if asked.labels:
        report_labels(list(range(step - 1, asked.labels, step)), verbose=asked.verbose)
    if asked.lists:
        report_lists(list(range(step - 1, asked.lists, step)))


if __name__ == "__main__":
    main()
