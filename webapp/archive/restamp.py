"""Gives new clocks to what an archive has from a phone whose clock was ahead.

Sync has such a phone write new clocks itself (`static/sync/restamp.js`). Kept as they are, they
would win every merge until that time, and sync would accept other clocks as late as these.
"""

from __future__ import annotations

from array import array
from bisect import bisect_left
from collections.abc import Collection, Iterable
from typing import Any

from webapp.records.canonical import digest
from webapp.records.record import Record
from webapp.sync.hlc import clock_device, clock_ms, latest_acceptable_ms

_COUNTERS = 0x10000


class NewClocks:
    """Maps clocks that are ahead to new ones, in the same order and of the same devices.

    `instants` are theirs in order, as numbers, which are a tenth of the size of a dict of texts.
    """

    def __init__(self, instants: Iterable[int] = (), start_ms: int = 0) -> None:
        self._instants = array("q", instants)
        self._start_ms = start_ms

    def __bool__(self) -> bool:
        return bool(self._instants)

    def __contains__(self, clock: str) -> bool:
        """Tell whether sync would not accept the clock."""
        return bool(self) and _instant(clock) >= self._instants[0]

    def __getitem__(self, clock: str) -> str:
        """Return the new clock; one that was not ahead stays."""
        if clock not in self:
            return clock
        place = bisect_left(self._instants, _instant(clock))
        ms, count = self._start_ms + place // _COUNTERS, place % _COUNTERS
        return f"{ms:013d}-{count:04x}-{clock_device(clock)}"


def _instant(clock: str) -> int:
    return clock_ms(clock) * _COUNTERS + int(clock[14:18], 16)


def new_clocks(clocks: Iterable[str], now_ms: int, latest_ms: int) -> NewClocks:
    """Map those that sync would not accept to clocks of about now.

    `latest_ms` is the owner's latest clock.
    """
    late = {_instant(clock) for clock in clocks if clock_ms(clock) > now_ms}
    limit = (latest_acceptable_ms(now_ms, latest_ms) + 1) * _COUNTERS
    near = max((one for one in late if one < limit), default=0)
    start_ms = max(now_ms, latest_ms + 1, near // _COUNTERS + 1)
    return NewClocks(sorted(one for one in late if one >= limit), start_ms)


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
            fields[name], clocks[name] = value, new[clock]
    deleted, mark = record["deleted"], record["deleted_clock"]
    if mark is not None and mark in new:
        is_known = ("deleted", digest(deleted)) in had
        deleted, mark = (False, None) if is_known else (deleted, new[mark])
    return {
        **record,
        "fields": fields,
        "clocks": clocks,
        "deleted": deleted,
        "deleted_clock": mark,
    }
