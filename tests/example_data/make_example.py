"""Generator of `demo_data/`, an invented notebook in the export format, from the tables here.

    python -m tests.example_data.make_example [FOLDER]

The same tables, spec and seed give the same bytes.
"""

import json
import sys
from datetime import timedelta
from pathlib import Path
from typing import Any

from tests.example_data import source_tables
from tests.example_data.ids import Record, local, record, uuid7
from tests.example_data.persona import stream
from tests.example_data.tables import table_records
from tests.example_data.tasting import tasting_fields

DEMO_DATA = Path(__file__).parents[2] / "demo_data"
MADE_AT = "2026-11-20T08:00:00+01:00"
OWNER_NAME = "Odile Tassenmaker (invented)"
SHELF_CODES = {"festa": 1, "laubfrosch": 2, "sardinhas": 3, "kraehe": 4, "gallo": 5, "klok": 6}

Book = dict[str, list[Record]]


def build_book() -> Book:
    visits = {row["key"]: _visit(row) for row in source_tables.visit_plan()}
    bottles = _bottles()
    ids = {key: bottle["id"] for key, bottle in bottles.items()}
    visit_ids = {key: visit["id"] for key, visit in visits.items()}
    book = {
        "bottle": list(bottles.values()),
        "tasting": _tastings(ids, visit_ids),
        "visit": list(visits.values()),
        "pick": [_pick(row, ids) for row in source_tables.pick_plan()],
        "stock": [_stock(row, ids) for row in source_tables.stock_plan()],
        "settings": [_settings()],
        **table_records(ids),
    }
    return {kind: sorted(records, key=lambda one: one["id"]) for kind, records in book.items()}


def write_book(folder: Path) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    about = {"format": 1, "made_at": MADE_AT, "owner_name": OWNER_NAME}
    _write(folder / "book.json", [json.dumps(about, ensure_ascii=False, indent=1)])
    for kind, records in build_book().items():
        lines = [json.dumps(one, ensure_ascii=False, separators=(",", ":")) for one in records]
        _write(folder / f"{kind}.jsonl", lines)


def _write(path: Path, lines: list[str]) -> None:
    path.write_text("".join(f"{line}\n" for line in lines), encoding="utf-8", newline="\n")


def _bottles() -> dict[str, Record]:
    """Return the bottles, each created just before it is first poured or seen on a shelf."""
    first_met: dict[str, str] = {}
    met = [(row["when"], row["bottle"]) for row in source_tables.tasting_plan()]
    met += [(row["seen_at"], row["bottle"]) for row in source_tables.pick_plan()]
    for when, key in sorted(met):
        first_met.setdefault(key, when)
    plan = source_tables.bottle_plan()
    return {key: _bottle(plan[key], when) for key, when in first_met.items()}


def _bottle(row: dict[str, str], met: str) -> Record:
    style = source_tables.styles()[row["style"]]
    written = local(met) - timedelta(seconds=40)
    fields: dict[str, Any] = {
        "name": row["name"],
        "producer": row["producer"],
        "vintage": int(row["vintage"]) if row["vintage"] else None,
        "style": row["style"],
        "grapes": row["grapes"],
        "region": row["region"],
        "country": row["country"],
        "colour": style["colour"],
        "kind": style["kind"],
        "label_abv": _number(row["abv"]),
        "label_market": row["market"],
        "label_words": [row["label_words"]] if row["label_words"] else None,
        "protected_origin": row["pdo"] == "y",
        "residual_sugar_gl": _number(row["rs"]),
        "total_acidity_gl": _number(row["ta"]),
        "closure": row["closure"],
        "volume_ml": int(row["volume_ml"]),
        "gtin": in_store_gtin(SHELF_CODES[row["key"]]) if row["key"] in SHELF_CODES else None,
    }
    return record("bottle", uuid7(written, stream("id bottle", row["key"])), fields, written)


def in_store_gtin(number: int) -> str:
    """Return a 13-digit code of the in-store range 200-299, which is never a real product.

    Check digit by GS1: weights 3, 1 from the right, to the next multiple of ten.
    """
    body = f"2000000{number:05d}"
    total = sum(int(digit) * (3 if i % 2 == 0 else 1) for i, digit in enumerate(reversed(body)))
    return f"{body}{-total % 10}"


def _tastings(ids: dict[str, str], visit_ids: dict[str, str]) -> list[Record]:
    bottles = source_tables.bottle_plan()
    made, poured = [], dict.fromkeys(visit_ids, 0)
    for row in source_tables.tasting_plan():
        at = local(row["when"])
        fields = {"bottle": ids[row["bottle"]]} | tasting_fields(row, bottles[row["bottle"]], at)
        if row["visit"]:
            poured[row["visit"]] += 1
            fields["visit"] = visit_ids[row["visit"]]
            fields["flight_mark"] = str(poured[row["visit"]])
        made.append(record("tasting", uuid7(at, stream("id tasting", row["when"])), fields, at))
    return made


def _visit(row: dict[str, str]) -> Record:
    at = local(f"{row['on']} {row['start']}") - timedelta(minutes=2)
    fields = {
        "name": row["name"],
        "place": row["place"],
        "on": row["on"],
        "ended_at": local(f"{row['on']} {row['end']}").isoformat(),
        "words": row["words"],
    }
    return record("visit", uuid7(at, stream("id visit", row["key"])), fields, at)


def _pick(row: dict[str, str], ids: dict[str, str]) -> Record:
    at = local(row["seen_at"])
    fields = {
        "bottle": ids[row["bottle"]],
        "shop": row["shop"],
        "price": _number(row["price"]),
        "currency": "EUR",
        "seen_at": at.isoformat(),
        "state": row["state"],
        "words": row["words"] or None,
    }
    return record("pick", uuid7(at, stream("id pick", row["bottle"])), fields, at)


def _stock(row: dict[str, str], ids: dict[str, str]) -> Record:
    at = local(f"{row['since']} 21:00")
    fields = {
        "bottle": ids[row["bottle"]],
        "count": int(row["count"]),
        "where": row["where"],
        "since": row["since"],
        "words": row["words"] or None,
    }
    return record("stock", uuid7(at, stream("id stock", row["bottle"])), fields, at)


def _settings() -> Record:
    fields = {
        "wanted_abv_low": 0,
        "wanted_abv_high": 15,
        "currency": "EUR",
        "temperature_unit": "celsius",
        "volume_unit": "millilitre",
        "drink_country": "FR",
        "market": "EU",
        "room_c": 20,
        "pour_ml": 75,
    }
    written = local("2025-03-21 20:00")
    return record("settings", source_tables.spec("record")["settings_id"], fields, written)


def _number(text: str) -> int | float | None:
    if not text:
        return None
    value = float(text)
    return int(value) if value.is_integer() else value


if __name__ == "__main__":
    write_book(Path(sys.argv[1]) if len(sys.argv) > 1 else DEMO_DATA)
