"""The palate of a notebook stays as recorded; after an intended change, record it again."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest

from tests.palate.record_report import BOOKS, FILE, document

KEPT = json.loads(FILE.read_text(encoding="utf-8"))


def differences(found: Any, kept: Any, at: str = "") -> Iterator[str]:
    """List where two JSON values differ by more than the rounding of another machine."""
    if isinstance(kept, dict) and isinstance(found, dict) and kept.keys() == found.keys():
        for name in kept:
            yield from differences(found[name], kept[name], f"{at}/{name}")
    elif isinstance(kept, list) and isinstance(found, list) and len(kept) == len(found):
        for place, (one, other) in enumerate(zip(found, kept, strict=True)):
            yield from differences(one, other, f"{at}/{place}")
    elif type(kept) is int and at.split("/")[1] == "compact":
        if abs(found - kept) > 20 + 5e-4 * abs(kept):
            yield f"{at}: {found}, was {kept}"
    elif isinstance(kept, float) and isinstance(found, float):
        if found != pytest.approx(kept, rel=3e-4, abs=3e-4):
            yield f"{at}: {found}, was {kept}"
    elif found != kept:
        yield f"{at}: {found}, was {kept}"


@pytest.mark.parametrize("name", BOOKS)
def test_palate_report_matches_the_recorded_one(name: str) -> None:
    found = json.loads(json.dumps(document(name)))
    assert [*differences(found, KEPT[name])] == []
