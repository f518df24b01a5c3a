"""Converts a person's sheets of led tastings to tastings, from which the palate is learned."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from webapp.palate.data.from_records import TASTING_FIELDS


def tastings_of_person(
    person: str,
    guests: Iterable[Mapping[str, Any]],
    glasses: Iterable[Mapping[str, Any]],
    sheets: Iterable[Mapping[str, Any]],
) -> list[dict[str, Any]]:
    """Return the sheets of everybody who was this person at some table, each with its bottle.

    The records are flat mappings. A sheet of an unknown glass has no bottle.
    """
    was = {str(one["id"]) for one in guests if one.get("person") == person}
    bottles = {str(one["id"]): one.get("bottle") for one in glasses}
    judged = set(TASTING_FIELDS) - {"bottle"}
    return [
        {
            "id": one["id"],
            **{name: one[name] for name in judged & one.keys()},
            "bottle": bottles.get(str(one.get("glass"))),
        }
        for one in sheets
        if str(one.get("guest")) in was
    ]
