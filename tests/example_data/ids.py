"""Ids, clocks and the shape of a record, all from the seed: the same book every time."""

from datetime import datetime
from random import Random
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

DEVICE = "demodemo01"
HOME_ZONE = ZoneInfo("Europe/Brussels")

Record = dict[str, Any]


def local(text: str) -> datetime:
    """`2026-11-14 16:40` as the taster's own time."""
    return datetime.fromisoformat(text).replace(tzinfo=HOME_ZONE)


def to_ms(moment: datetime) -> int:
    return round(moment.timestamp() * 1000)


def uuid7(made: datetime, rng: Random) -> str:
    """A UUIDv7 (RFC 9562, 5.7) whose random bits come from the given stream."""
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
    """The record as it left the phone: what is said, one clock a field, marked as example."""
    said = {name: value for name, value in fields.items() if value is not None}
    said["example"] = True
    return {
        "kind": kind,
        "id": record_id,
        "fields": said,
        "clocks": {
            name: f"{to_ms(written):013d}-{turn:04x}-{DEVICE}" for turn, name in enumerate(said)
        },
        "deleted": False,
        "deleted_clock": None,
    }
