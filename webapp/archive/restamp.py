"""Gives new clocks to what an archive has from a phone whose clock was ahead.

Sync has such a phone write new clocks itself (`static/sync/restamp.js`). Kept as they are, they
would win every merge until that time, and sync would accept other clocks as late as these.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from typing import Any

from webapp.records.canonical import digest
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
    start_ms = max([now_ms, latest_ms + 1, *(clock_ms(one) + 1 for one in late.difference(ahead))])
    return {
        clock: f"{start_ms + place // _COUNTERS:013d}-{place % _COUNTERS:04x}-{clock_device(clock)}"
        for place, clock in enumerate(ahead)
    }


def restamp(
    record: Record, new: NewClocks, stored: Record | None, earlier: Collection[tuple[str, str]]
) -> Record:
    """Return the record with the new clocks, without what the notebook has or had already.

    Otherwise each import of the archive would write the same values again, over later ones too.
    `earlier` has the field and the digest of each superseded value.
    """
    had = {*earlier}
    if stored is not None:
        had |= {(name, digest(stored["fields"][name])) for name in stored["clocks"]}
        if stored["deleted_clock"]:
            had.add(("deleted", digest(stored["deleted"])))
    fields: dict[str, Any] = {}
    clocks: dict[str, str] = {}
    for name, clock in record["clocks"].items():
        value = record["fields"][name]
        if clock not in new or (name, digest(value)) not in had:
            fields[name], clocks[name] = value, new.get(clock, clock)
    deleted, mark = record["deleted"], record["deleted_clock"]
    if mark in new:
        is_known = ("deleted", digest(deleted)) in had
        deleted, mark = (False, None) if is_known else (deleted, new[mark])
    return {
        **record,
        "fields": fields,
        "clocks": clocks,
        "deleted": deleted,
        "deleted_clock": mark,
    }
