"""The computed columns of the CSV, checked against figures from external sources."""

from __future__ import annotations

import csv
import io
import zipfile
from typing import Any

import pytest
from flask import Flask

from tests.conftest import AppMaker
from webapp import spec
from webapp.archive.csv import tastings_csv
from webapp.archive.readings import COMPUTED_COLUMNS

TODAY = "2026-11-25"
ZIP = {"Content-Type": "application/zip"}


def row_of(
    tasting: dict[str, Any], bottle: dict[str, Any], market: str | None = None
) -> dict[str, str]:
    text = tastings_csv([{"id": "t", "bottle": "b", **tasting}], {"b": bottle}, market, TODAY)
    (row,) = csv.DictReader(io.StringIO(text, newline=""))
    return row


@pytest.mark.parametrize(
    ("bottle", "market", "low", "high"),
    [
        # Regulation (EU) 2019/33 art. 44: 0.5 % vol; 0.8 % vol for sparkling wine.
        ({"label_abv": 13, "kind": "still", "label_market": "EU"}, None, "12.5", "13.5"),
        ({"label_abv": 12, "kind": "sparkling", "label_market": "EU"}, None, "11.2", "12.8"),
        # 27 CFR 4.36(b)(1): 1.5 % up to 14 %, 1 % above; (c): not across the tax class at 16 %.
        ({"label_abv": 12.5, "kind": "still", "label_market": "US"}, None, "11.0", "14.0"),
        ({"label_abv": 14.5, "kind": "still", "label_market": "US"}, None, "13.5", "15.5"),
        ({"label_abv": 15.5, "kind": "still", "label_market": "US"}, None, "14.5", "16.0"),
        # 27 CFR 4.36(b)(2): a printed range has no tolerance outside.
        ({"label_abv_low": 11, "label_abv_high": 14, "label_market": "US"}, None, "11.0", "14.0"),
        # The market where the owner buys applies only to a label without a market.
        ({"label_abv": 12.5, "kind": "still"}, "US", "11.0", "14.0"),
        ({"label_abv": 13, "kind": "still", "label_market": "EU"}, "US", "12.5", "13.5"),
        ({"label_abv_low": 14, "label_abv_high": 11}, "US", "", ""),
        ({"kind": "still"}, "EU", "", ""),
    ],
)
def test_lawful_range_follows_the_law_of_the_market(
    bottle: dict[str, Any], market: str | None, low: str, high: str
) -> None:
    row = row_of({}, {"vintage": 2024, **bottle}, market)
    assert (row["lawful_abv_low"], row["lawful_abv_high"]) == (low, high)


@pytest.mark.parametrize(("volume_ml", "abv"), [(100, 13), (75, 12.5), (0, 14)])
def test_grams_swallowed_weigh_the_ethanol(volume_ml: float, abv: float) -> None:
    """Check that ethanol weighs 0.789 g/ml at 20 C (CRC Handbook of Chemistry and Physics)."""
    row = row_of({"swallowed_ml": volume_ml, "pour_ml": 150}, {"label_abv": abv})
    grams = float(row["alcohol_swallowed_g"])
    assert grams == pytest.approx(volume_ml * abv / 100 * 0.789, abs=0.01)


@pytest.mark.parametrize(
    ("tasted_at", "vintage", "age"),
    [
        ("2026-01-01T00:30:00+02:00", 2019, "7"),
        ("2019-11-21T20:00:00Z", 2019, "0"),
        ("2019-03-01T20:00:00Z", 2020, "0"),
        ("2026-01-01T00:30:00Z", None, ""),
        (None, 2019, ""),
    ],
)
def test_age_counts_years_from_the_vintage(
    tasted_at: str | None, vintage: int | None, age: str
) -> None:
    """Count calendar years between two dates in the taster's time zone."""
    row = row_of({"tasted_at": tasted_at}, {"vintage": vintage})
    assert row["age_at_tasting_years"] == age


@pytest.mark.parametrize(
    ("tasting", "name"),
    [
        ({"sweetness": 0, "acidity": 4, "tannin": 3}, "dry"),
        ({"sweetness": 0, "acidity": 9.5}, "bone_dry"),
        ({"sweetness": 10}, "very_sweet"),
        ({"acidity": 9.5}, ""),
    ],
)
def test_dryness_class_reads_the_sweetness(tasting: dict[str, Any], name: str) -> None:
    """Common teaching: dry is no perceptible sugar; bone dry adds marked acidity or tannin."""
    assert row_of(tasting, {})["dryness_class"] == name


@pytest.mark.parametrize(
    ("seconds", "name"),
    [(2, "fleeting"), (7, "short"), (20, "middle"), (45, "long"), (None, ""), (9999, "")],
)
def test_finish_class_counts_caudalies(seconds: float | None, name: str) -> None:
    """Peynaud, The Taste of Wine: a caudalie is a second of persistence."""
    row = row_of({"finish_s": seconds, "liking": 6}, {})
    assert (row["finish_class"], row["liking"]) == (name, "6")


@pytest.mark.parametrize(
    ("tasting", "level"),
    [
        ({"finish_s": 42, "complexity": 7, "balance": 7}, "rare"),
        ({"finish_s": 15, "complexity": 5, "balance": 5.5}, "sound"),
        ({"finish_s": 7, "complexity": 3, "balance": 5.5}, "slight"),
        ({"finish_s": 42}, ""),
    ],
)
def test_quality_level_never_looks_at_the_liking(tasting: dict[str, Any], level: str) -> None:
    """Common practice: length, complexity and balance; the cases of `quality_readout.json`."""
    assert {row_of({**tasting, "liking": n}, {})["quality_level"] for n in (1, 9)} == {level}


def demo_zip() -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for path in sorted(spec.example_root().glob("*.json*")):
            archive.write(path, path.name)
    return out.getvalue()


def sheet_of(content: bytes) -> list[dict[str, str]]:
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        text = archive.read("tastings.csv").decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_demo_export_has_the_columns_and_imports_again(app: Flask, make_app: AppMaker) -> None:
    client = app.test_client()
    assert client.post("/api/import", data=demo_zip(), headers=ZIP).status_code == 200
    content = client.get("/api/export").data
    rows = sheet_of(content)
    assert list(rows[0])[-len(COMPUTED_COLUMNS) :] == list(COMPUTED_COLUMNS)
    assert [name for name in COMPUTED_COLUMNS if not any(row[name] for row in rows)] == []
    other = make_app().test_client()
    assert other.post("/api/import", data=content, headers=ZIP).status_code == 200
    assert sheet_of(other.get("/api/export").data) == rows


def test_export_takes_the_market_of_the_settings(app: Flask) -> None:
    def change(of: str, end: int, **fields: Any) -> dict[str, Any]:
        clocks = dict.fromkeys(fields, "1790000000000-0000-aaaaaaaa")
        id_ = f"0192f0c1-2a3b-7c4d-8e5f-60718293a4{end}"
        return {"kind": of, "id": id_, "fields": fields, "clocks": clocks}

    bottle = change("bottle", 10, label_abv=12.5, kind="still", vintage=2024)
    settings = change("settings", 12, market="US")
    settings["id"] = "00000000-0000-7000-8000-000000000001"
    changes = [bottle, change("tasting", 11, bottle=bottle["id"]), settings]
    body = {"format": 1, "device": "aaaaaaaa", "cursor": 0, "changes": changes}
    client = app.test_client()
    assert client.post("/api/sync", json=body).status_code == 200
    (row,) = sheet_of(client.get("/api/export").data)
    # 27 CFR 4.36(b)(1): 1.5 % either way.
    assert (row["lawful_abv_low"], row["lawful_abv_high"]) == ("11.0", "14.0")
