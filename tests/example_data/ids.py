"""Ids, clocks and records, generated from the seed, so that each run gives the same notebook."""

from datetime import datetime
from random import Random
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

DEVICE = "demodemo01"
HOME_ZONE = ZoneInfo("Europe/Brussels")

Record = dict[str, Any]


def local(text: str) -> datetime:
    """Parse `2026-11-14 16:40` in the taster's time zone."""
    return datetime.fromisoformat(text).replace(tzinfo=HOME_ZONE)


def to_ms(moment: datetime) -> int:
    return round(moment.timestamp() * 1000)


def uuid7(made: datetime, rng: Random) -> str:
    """Return a UUIDv7 (RFC 9562, 5.7) with random bits from the given generator."""
    return str(
        UUID(
            int=to_ms(made) << 80
            | 0x7 << 76
            | rng.getrandbits(12) << 64
            | 0b10 << 62
            | rng.getrandbits(62)
        )
    )


def record(kind: str, record_id: str, fields: dict[str, Any], written: datetime) -> Record:
    """Return the record as a phone sends it: non-null fields with clocks, marked as example."""
    values = {name: value for name, value in fields.items() if value is not None}
    values["example"] = True
    return {
        "kind": kind,
        "id": record_id,
        "fields": values,
        "clocks": {
            name: f"{to_ms(written):013d}-{turn:04x}-{DEVICE}" for turn, name in enumerate(values)
        },
        "deleted": False,
        "deleted_clock": None,
    }
