"""The alcohol columns of the CSV match the intake totals of a visit on the phone."""

from __future__ import annotations

import csv
import io
import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

from tests.reference.rules.drinks import visit_tally
from webapp import spec
from webapp.archive.csv import tastings_csv
from webapp.archive.readings import BEFORE_TASTING

ROOT = Path(__file__).parents[2]
NODE = shutil.which("node")
TODAY = "2026-11-25"
COLUMNS = ("alcohol_poured_g", "alcohol_swallowed_g", "swallow_assumed")
RED = {"label_abv": 13, "kind": "still", "label_market": "EU", "vintage": 2024}
GLASSES: list[dict[str, Any]] = [
    {"pour_ml": 100},
    {"pour_ml": 100, "swallowed_ml": 0},
    {"pour_ml": 100, "swallowed_ml": 30},
    {"pour_ml": 50, "swallowed_ml": 80},
    {"swallowed_ml": 40},
    {},
]


def alcohol_of(tasting: dict[str, Any], bottle: dict[str, Any]) -> list[str]:
    text = tastings_csv([{"id": "t", "bottle": "b", **tasting}], {"b": bottle}, None, TODAY)
    (row,) = csv.DictReader(io.StringIO(text, newline=""))
    return [row[name] for name in COLUMNS]


def test_csv_sums_equal_the_tally_of_a_visit() -> None:
    cells = [alcohol_of(glass, RED) for glass in GLASSES]
    tally = visit_tally([{**glass, "label_abv": 13} for glass in GLASSES], "US")
    poured, swallowed = (sum(float(row[i] or 0) for row in cells) for i in (0, 1))
    assert poured == pytest.approx(tally["poured"]["grams"], abs=0.03)
    assert swallowed == pytest.approx(tally["swallowed"]["grams"], abs=0.03)
    assert [row[2] for row in cells].count("yes") == tally["swallowed_not_said"]


@pytest.mark.parametrize(
    ("glass", "cells"),
    [
        # 100 ml of 13 % are 13 ml of ethanol, of 0.789 g/ml (OIML R 22).
        ({"pour_ml": 100}, ["10.26", "10.26", "yes"]),
        ({"pour_ml": 100, "swallowed_ml": 50}, ["10.26", "5.13", "no"]),
        ({"pour_ml": 50, "swallowed_ml": 100}, ["10.26", "10.26", "no"]),
        ({"pour_ml": 100, "spat": True}, ["10.26", "0.0", "no"]),
        ({"pour_ml": 100, "spat": False}, ["10.26", "10.26", "no"]),
        ({"pour_ml": 100, "swallowed_ml": 50, "spat": True}, ["10.26", "5.13", "no"]),
        ({"spat": True}, ["", "", ""]),
        ({}, ["", "", ""]),
        ({"pour_ml": 100, "flight_mark": "A"}, ["", "", ""]),
        ({"pour_ml": 100, "label_hidden": True, "serving_c": 16}, ["", "", ""]),
        ({"pour_ml": 100, "flight_mark": "A", "liking": 6}, ["10.26", "10.26", "yes"]),
        ({"pour_ml": 100, "flight_mark": "A", "closed_at": "2026"}, ["10.26", "10.26", "yes"]),
    ],
)
def test_csv_says_what_was_assumed_of_swallowing(glass: dict[str, Any], cells: list[str]) -> None:
    assert alcohol_of(glass, RED) == cells


@pytest.mark.parametrize(
    ("bottle", "grams"),
    [
        ({"label_abv_low": 11, "label_abv_high": 14, "label_market": "US"}, "9.87"),
        ({"kind": "still", "label_market": "EU"}, ""),
    ],
)
def test_csv_takes_the_middle_of_a_printed_range(bottle: dict[str, Any], grams: str) -> None:
    assert alcohol_of({"pour_ml": 100}, {"vintage": 2024, **bottle})[0] == grams


@pytest.mark.skipif(NODE is None, reason="needs Node")
def test_notes_of_a_glass_are_those_the_phone_counts() -> None:
    script = (
        "import { stepFields } from './static/domain/pour/tasting_steps.js';"
        "console.log(JSON.stringify(Object.values(stepFields).flatMap((step) => step.tasting)))"
    )
    assert NODE is not None
    arguments = [NODE, "--input-type=module", "-e", script]
    done = subprocess.run(arguments, cwd=ROOT, capture_output=True, text=True, check=True)
    prepared = {"serving_c", "flight_mark", "label_hidden", "pour_ml"}
    noted = set(json.loads(done.stdout)) - prepared | {"closed_at"}
    assert set(spec.kinds()["tasting"]) - BEFORE_TASTING == noted
