"""What the whole table thought, for every guest: the glasses by liking, and the hidden duplicate.

The order is that of the leader's own page (`static/rules/table/liking_ranking.js`): by median,
which stands beside each glass, then by rank sums over the guests who rated each glass. A glass that
too few rated to be ranked comes last, without a place.
"""

from __future__ import annotations

from statistics import fmean, median
from typing import Any

from webapp.group_tasting.table import Fields, Table

Likings = dict[str, dict[str, float]]


def results(table: Table) -> dict[str, Any] | None:
    """Return what every guest receives of the results; None until the leader has opened them."""
    glasses = table.result_glasses()
    return (
        {"order": _order(table, glasses), "duplicate": _duplicate(table, glasses)}
        if glasses
        else None
    )


def _present(table: Table) -> list[Fields]:
    guests = [one for one in table.guests.values() if not one.get("removed_at")]
    return sorted(guests, key=lambda one: (one.get("number") or 0, one["id"]))


def _order(table: Table, glasses: list[str]) -> list[dict[str, Any]]:
    """Return the glasses that somebody rated, best first; those liked alike share a place."""
    likings = _likings(table, glasses)
    sums = _rank_sums(likings, glasses)
    found = []
    for glass in glasses:
        values = [row[glass] for row in likings.values() if glass in row]
        if values:
            count, mean, middle = len(values), round(fmean(values), 2), median(values)
            found.append({"glass": glass, "count": count, "mean": mean, "median": middle})

    def key(one: dict[str, Any]) -> tuple[bool, float, float]:
        glass = one["glass"]
        return glass not in sums, -one["median"], -sums.get(glass, 0)

    found.sort(key=key)
    keys = [key(one) for one in found]

    def place(one: dict[str, Any]) -> int | None:
        return 1 + keys.index(key(one)) if one["glass"] in sums or not sums else None

    return [{**one, "place": place(one)} for one in found]


def _likings(table: Table, glasses: list[str]) -> Likings:
    """Return the likings of each guest who rated any of the glasses, by guest and glass."""
    rows = {
        guest["id"]: {
            glass: liking
            for glass in glasses
            if (liking := table.sheet_of(guest["id"], glass).get("liking")) is not None
        }
        for guest in _present(table)
    }
    return {guest: row for guest, row in rows.items() if row}


def _rank_sums(likings: Likings, glasses: list[str]) -> dict[str, float]:
    """Return the rank sum of each glass that at least half of the guests rated.

    Only guests who rated all of these glasses are ranked, so that a glass that only a latecomer
    rated excludes nobody.
    """
    rows = list(likings.values())
    kept = [one for one in glasses if 2 * sum(one in row for row in rows) >= len(rows)]
    complete = [[row[one] for one in kept] for row in rows if all(one in row for one in kept)]
    if not complete:
        return {}
    ranked = [_midranks(row) for row in complete]
    return {one: sum(row[at] for row in ranked) for at, one in enumerate(kept)}


def _midranks(values: list[float]) -> list[float]:
    """Rank values from 1, the lowest; equal ones share their mean rank."""
    return [
        sum(other < value for other in values) + (values.count(value) + 1) / 2 for value in values
    ]


def _duplicate(table: Table, glasses: list[str]) -> dict[str, Any] | None:
    """Return how many guests named the two glasses of one wine, once both labels are shown."""
    pair = _pair(table, glasses)
    if pair is None:
        return None
    named = {guest["id"]: _named_pairs(table, guest["id"], glasses) for guest in _present(table)}
    found = [id_ for id_, pairs in named.items() if pairs == {frozenset(pair)}]
    names = [str(table.guests[id_].get("name") or "") for id_ in found]
    return {
        "glasses": pair,
        "found": len(found),
        "tried": sum(1 for pairs in named.values() if pairs),
        "names": names if table.names_shown else None,
    }


def _pair(table: Table, glasses: list[str]) -> list[str] | None:
    shown = [one for one in glasses if table.is_uncovered(table.glasses[one])]
    for at, glass in enumerate(shown):
        bottle = table.glasses[glass].get("bottle")
        for other in shown[:at]:
            if bottle and table.glasses[other].get("bottle") == bottle:
                return [other, glass]
    return None


def _named_pairs(table: Table, guest: str, glasses: list[str]) -> set[frozenset[str]]:
    """Return the pairs of glasses that a guest thought to be one wine."""
    named = ((glass, table.sheet_of(guest, glass).get("guess_same_as")) for glass in glasses)
    return {
        frozenset((glass, other)) for glass, other in named if other in glasses and other != glass
    }
