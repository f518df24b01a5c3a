"""Test data for a live server, sent through the sync API."""

from __future__ import annotations

import gzip
import json
import random
import urllib.request
from pathlib import Path
from typing import Any

DEMO = Path(__file__).resolve().parents[2] / "demo_data"
BATCH = 400
DEVICE = "fillingup1"
SCALES = ("sweetness", "acidity", "tannin", "body", "warmth", "oak", "intensity")

Record = dict[str, Any]


def demo_records(kind: str) -> list[Record]:
    """Return the records of the example data, oldest first."""
    lines = (DEMO / f"{kind}.jsonl").read_text(encoding="utf-8").splitlines()
    return [json.loads(line) for line in lines]


def first_tastings(count: int) -> list[Record]:
    """Return the bottles and the first tastings of the example data."""
    tastings = sorted(demo_records("tasting"), key=lambda record: record["fields"]["tasted_at"])
    return [*demo_records("bottle"), *tastings[:count]]


def as_own(record: Record) -> Record:
    """Return the record as one of the owner's, not of the example."""
    parts = {
        part: {name: value for name, value in record[part].items() if name != "example"}
        for part in ("fields", "clocks")
    }
    return {**record, **parts}


def invented_book(tastings: int, bottles: int = 120, seed: int = 5) -> list[Record]:
    """Return bottles "Bottle 0", "Bottle 1"... and tastings over ten years, newest last."""
    draw = random.Random(seed)
    styles = [record["fields"]["style"] for record in demo_records("bottle")]
    made = [
        _record(
            "bottle",
            n,
            {
                "name": f"Bottle {n}",
                "style": draw.choice(styles),
                "label_abv": draw.randrange(110, 150) / 10,
            },
        )
        for n in range(bottles)
    ]
    for n in range(tastings):
        year, day = 2016 + n * 10 // tastings, n * 3650 // tastings % 365
        at = f"{year}-{day // 31 + 1:02}-{day % 28 + 1:02}T19:{n % 60:02}:00+01:00"
        fields: Record = {"bottle": _id(draw.randrange(bottles)), "tasted_at": at, "closed_at": at}
        fields |= {scale: draw.randrange(0, 101) / 10 for scale in SCALES}
        acidity = fields["acidity"]
        fields["liking"] = max(1, min(9, round(8 - abs(acidity - 7) + draw.gauss(0, 1))))
        made.append(_record("tasting", 100_000 + n, fields))
    return made


def _id(n: int) -> str:
    return f"01900000-0000-7000-8000-{n:012x}"


def _record(kind: str, n: int, fields: Record) -> Record:
    clock = f"{1_700_000_000_000 + n:013}-0000-{DEVICE}"
    return {
        "kind": kind,
        "id": _id(n),
        "fields": fields,
        "clocks": dict.fromkeys(fields, clock),
        "deleted": False,
        "deleted_clock": None,
    }


def fill(url: str, records: list[Record]) -> None:
    """Send records to a server in batches, and assert that it accepts them."""
    values: dict[str, Any] = {"epoch": None, "token": None, "cursor": 0}
    for start in range(0, len(records), BATCH):
        body = {
            "format": 1,
            "device": DEVICE,
            "limit": 1,
            "changes": records[start : start + BATCH],
            **{name: values[name] for name in ("epoch", "token", "cursor")},
        }
        request = urllib.request.Request(
            f"{url}/api/sync",
            gzip.compress(json.dumps(body).encode()),
            {"Content-Type": "application/json", "Content-Encoding": "gzip"},
        )
        with urllib.request.urlopen(request, timeout=60) as answer:
            values = json.load(answer)
        outcomes = {outcome["outcome"] for outcome in values["outcomes"]}
        assert outcomes <= {"applied", "duplicate"}, values["outcomes"][:3]
