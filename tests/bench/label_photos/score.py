"""Compares what was read with what was printed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from tests.bench.label_photos.lists import Row
from tests.bench.label_photos.wines import Wine


@dataclass(slots=True)
class Count:
    """How many of how many."""

    hits: int = 0
    all: int = 0

    def add(self, hit: bool) -> None:
        self.hits += hit
        self.all += 1

    def __str__(self) -> str:
        share = f"{100 * self.hits / self.all:.1f} %" if self.all else "-"
        return f"{share} ({self.hits} of {self.all})"


@dataclass(slots=True)
class Verdict:
    """What was right of one label; None where nothing was printed."""

    alcohol: bool
    alcohol_sure: bool
    vintage: bool | None
    vintage_sure: bool
    volume: bool
    style: bool


def judge(wine: Wine, proposals: list[dict[str, Any]]) -> Verdict:
    """Compare the proposals of a label with its wine."""

    def of(field: str) -> list[dict[str, Any]]:
        return [one for one in proposals if one["field"] == field]

    single, low, high = of("label_abv"), of("label_abv_low"), of("label_abv_high")
    if wine.low is None:
        alcohol = [one["value"] for one in single] == [wine.alcohol]
    else:
        alcohol = [one["value"] for one in low + high] == [wine.low, wine.high]
    years = of("vintage")
    return Verdict(
        alcohol=alcohol,
        alcohol_sure=any(one["sure"] for one in single + low + high),
        vintage=None if wine.vintage is None else [y["value"] for y in years] == [wine.vintage],
        vintage_sure=any(one["sure"] for one in years),
        volume=[one["value"] for one in of("volume_ml")] == [wine.volume_ml],
        style=wine.style in [one["value"] for one in of("style")],
    )


@dataclass(slots=True)
class Rows:
    """What was right of a list's rows; `invented` counts rows that no printed row explains."""

    found: int
    priced: int
    complete: int
    invented: int


def judge_rows(rows: list[Row], read: list[dict[str, Any]]) -> Rows:
    """Match the rows in order, because names alone repeat within a list."""
    left = list(read)
    found = priced = complete = 0
    for row in rows:
        first = row.name.split(",")[0].lower()[:5]
        match = next((one for one in left if one["name"].lower().startswith(first)), None)
        if match is None:
            continue
        left.remove(match)
        found += 1
        has_price = (match["price"], match["glass"]) == (row.price, row.glass)
        priced += has_price
        complete += has_price and (match["vintage"], match["alcohol"]) == (row.vintage, row.alcohol)
    return Rows(found, priced, complete, len(left))
