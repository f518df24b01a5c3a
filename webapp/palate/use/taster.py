"""Selects whose ratings a palate learns from: the owner's, or those of the example notebook."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from webapp.palate.data.from_records import number_within
from webapp.palate.data.tastings import LIKING_HIGH, LIKING_LOW

Record = Mapping[str, Any]


class Selected(NamedTuple):
    """Tastings of one taster; `is_example` if that is the invented one of the example."""

    tastings: list[Record]
    is_example: bool


def select_taster(tastings: Iterable[Record], wants_example: bool = False) -> Selected:
    """Return the owner's tastings (flat records), or the example's while the owner has no rating.

    They are never mixed, because the invented taster's ratings say nothing of the owner.
    """
    own: list[Record] = []
    example: list[Record] = []
    for one in tastings:
        (example if one.get("example") is True else own).append(one)
    has_example = any(map(_teaches, example))
    if has_example and (wants_example or not any(map(_teaches, own))):
        return Selected(example, True)
    return Selected(own, False)


def _teaches(tasting: Record) -> bool:
    liking = number_within(tasting.get("liking"), LIKING_LOW, LIKING_HIGH)
    has_fault = bool(tasting.get("faults")) and tasting.get("fault_counts") is not True
    return liking == liking and not has_fault  # NaN is not equal to itself
