"""Invented bottles and the plan of the tastings, read from the tables in this folder."""

import csv
import json
from functools import cache
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
SPEC = HERE.parents[1] / "static" / "spec"


def _rows(name: str) -> list[dict[str, str]]:
    with (HERE / name).open(encoding="utf-8", newline="") as table:
        return list(csv.DictReader(table))


@cache
def spec(name: str) -> dict[str, Any]:
    parsed: dict[str, Any] = json.loads((SPEC / f"{name}.json").read_text(encoding="utf-8"))
    return parsed


@cache
def styles() -> dict[str, dict[str, Any]]:
    return {style["style_id"]: style for style in spec("styles")["styles"]}


@cache
def aroma_families() -> dict[str, list[str]]:
    return {family["id"]: family["words"] for family in spec("aromas")["families"]}


def bottle_plan() -> dict[str, dict[str, str]]:
    return {row["key"]: row for row in _rows("bottles.csv")}


def tasting_plan() -> list[dict[str, str]]:
    return _rows("tastings.csv")


def pick_plan() -> list[dict[str, str]]:
    return _rows("picks.csv")


def visit_plan() -> list[dict[str, str]]:
    return _rows("visits.csv")


def stock_plan() -> list[dict[str, str]]:
    return _rows("stock.csv")


def table_plan() -> list[dict[str, str]]:
    """Return the led tastings; `minutes` is the time of a glass."""
    return _rows("tables.csv")


def glass_plan() -> list[dict[str, str]]:
    """Return the glasses of the led tastings, in their order."""
    return _rows("table_glasses.csv")


def sheet_plan() -> dict[tuple[str, str, str], dict[str, str]]:
    """Return what is written by hand in sheets, by table, mark and guest."""
    return {(row["table"], row["mark"], row["guest"]): row for row in _rows("sheet_words.csv")}


def age_years(bottle: dict[str, str], year: int) -> float:
    """Return the age by the vintage; a wine without vintage counts as three years old."""
    return float(year - int(bottle["vintage"])) if bottle["vintage"] else 3.0
