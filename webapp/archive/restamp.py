"""Gives new clocks to what an archive has from a phone whose clock was ahead.

Sync has such a phone write new clocks itself (`static/sync/restamp.js`). Kept as they are, they
would win every merge until that time, and sync would accept other clocks as late as these.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from webapp.records.canonical import canonical
from webapp.records.record import Record
from webapp.sync.hlc import clock_device, clock_ms, is_too_far_ahead

NewClocks = dict[str, str]
_COUNTERS = 0x10000


def new_clocks(clocks: Iterable[str], now_ms: int, latest_ms: int) -> NewClocks:
    """Map those that sync would not accept to clocks of about now, in the old order.

    `latest_ms` is the owner's latest clock.
    """
    late = {clock for clock in clocks if clock_ms(clock) > now_ms}
    ahead = sorted(clock for clock in late if is_too_far_ahead(clock, now_ms, latest_ms))
    start_ms = max([now_ms, *(clock_ms(one) + 1 for one in late.difference(ahead))])
    return {
        clock: f"{start_ms + place // _COUNTERS:013d}-{place % _COUNTERS:04x}-{clock_device(clock)}"
        for place, clock in enumerate(ahead)
    }


def restamp(record: Record, new: NewClocks, stored: Record | None) -> Record:
    """Return the record with the new clocks, without what the notebook has already.

    Otherwise each import of the archive would write the same values again.
    """
    fields: dict[str, Any] = {}
    clocks: dict[str, str] = {}
    for name, clock in record["clocks"].items():
        value = record["fields"][name]
        if clock not in new or not _is_stored(stored, name, value):
            fields[name], clocks[name] = value, new.get(clock, clock)
    deleted, mark = record["deleted"], record["deleted_clock"]
    if mark in new:
        is_known = stored is not None and stored["deleted"] == deleted and stored["deleted_clock"]
        deleted, mark = (False, None) if is_known else (deleted, new[mark])
    return {
        **record,
        "fields": fields,
        "clocks": clocks,
        "deleted": deleted,
        "deleted_clock": mark,
    }


def _is_stored(stored: Record | None, name: str, value: Any) -> bool:
    return (
        stored is not None
        and name in stored["clocks"]
        and canonical(stored["fields"][name]) == canonical(value)
    )
