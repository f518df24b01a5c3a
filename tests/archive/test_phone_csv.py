"""The CSV of a phone's copy equals that of the server's export, cell by cell."""

from __future__ import annotations

import csv
import io
import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

from webapp.archive.csv import tastings_csv

ROOT = Path(__file__).parents[2]
NODE = shutil.which("node")
TODAY = "2026-11-25"
SCRIPT = """
import { tastingsCsv } from './static/archive/tastings_csv.js';
let text = '';
for await (const chunk of process.stdin) text += chunk;
const { tastings, bottles, market, today } = JSON.parse(text);
const rows = tastings.map(({ id, ...fields }) => ({ id, fields }));
process.stdout.write(tastingsCsv(rows, new Map(Object.entries(bottles)), market, today).join(''));
"""
RED = {"label_abv": 13, "kind": "still", "label_market": "EU", "vintage": 2024}
BOTTLES: dict[str, dict[str, Any]] = {
    "red": RED,
    "range": {"label_abv_low": 11, "label_abv_high": 14, "label_market": "US", "name": '=x "y"'},
    "reversed": {"label_abv_low": 14, "label_abv_high": 11},
    "bare": {"name": "a;=1, b", "non_vintage": True},
    "merged": {"name": "again", "merged_into": "merged_twice"},
    "merged_twice": {"merged_into": "red"},
    "merged_into_missing": {"name": "kept", "merged_into": "missing"},
    "circle": {"name": "one", "merged_into": "other"},
    "other": {"name": "other", "merged_into": "circle"},
}
GLASSES: list[dict[str, Any]] = [
    {"pour_ml": 100},
    {"pour_ml": 100, "swallowed_ml": 0},
    {"pour_ml": 50, "swallowed_ml": 80},
    {"swallowed_ml": 40},
    {"pour_ml": 100, "spat": True},
    {"pour_ml": 100, "spat": False},
    {"spat": True},
    {"pour_ml": 100, "flight_mark": "A"},
    {"pour_ml": 100, "flight_mark": "A", "liking": 6},
    {"pour_ml": 100, "label_hidden": True, "serving_c": 16},
    {"words": "-1 plum\n=1;\r\n-2\nand \U0001f347, 'ripe'", "faults": ["corked:2", "other"]},
    {"sweetness": 1, "acidity": 7.5, "tannin": 9, "finish_s": 31, "complexity": 8, "balance": 9},
    {"acidity": "high", "finish_s": -4, "tasted_at": None},
    {"tasted_at": "2020-01-01T10:00:00Z", "label_hidden": False},
]


def demo(kind: str) -> list[dict[str, Any]]:
    lines = (ROOT / "demo_data" / f"{kind}.jsonl").read_text("utf-8").splitlines()
    records = [json.loads(line) for line in lines]
    return [{"id": record["id"], **record["fields"]} for record in records]


def edge_cases() -> list[dict[str, Any]]:
    at = "2026-05-02T18:00:00+02:00"
    return [
        {"id": f"{bottle}{n:02}", "bottle": bottle, "tasted_at": at, **glass}
        for bottle in (*BOTTLES, "missing")
        for n, glass in enumerate(GLASSES)
    ]


def one_evening() -> list[dict[str, Any]]:
    """Return three glasses of two time zones, latest first by text, earliest first by instant."""
    times = ("2026-05-02T23:30:00+09:00", "2026-05-02T18:30:00+02:00", "2026-05-02T17:00:00Z")
    return [{"id": f"zone{n}", "tasted_at": at} for n, at in enumerate(times)]


def rows_of(text: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline="")))


def is_same(one: str, other: str) -> bool:
    if one == other:
        return True
    try:
        return float(one) == pytest.approx(float(other), abs=0.011)
    except ValueError:
        return False


@pytest.mark.skipif(NODE is None, reason="needs Node")
@pytest.mark.parametrize("market", [None, "EU", "US"])
def test_phone_csv_equals_the_csv_of_the_export(market: str | None) -> None:
    tastings = [*demo("tasting"), *edge_cases(), *one_evening()]
    bottles = {one["id"]: one for one in demo("bottle")} | BOTTLES
    body = {"tastings": tastings, "bottles": bottles, "market": market, "today": TODAY}
    assert NODE is not None
    made = subprocess.run(
        [NODE, "--import", "./tests/node/environment.mjs", "--input-type=module", "-e", SCRIPT],
        cwd=ROOT,
        input=json.dumps(body).encode(),
        capture_output=True,
        check=True,
    )
    phone = rows_of(made.stdout.decode("utf-8"))
    server = rows_of(tastings_csv(tastings, bottles, market, TODAY))
    assert phone[0] == server[0]
    assert len(phone) == len(server) == len(tastings) + 1
    heads = server[0]
    wrong = [
        (row[0], name, one, other)
        for mine, row in zip(phone, server, strict=True)
        for name, one, other in zip(heads, mine, row, strict=True)
        if not is_same(one, other)
    ]
    assert wrong == []
