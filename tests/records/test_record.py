"""A record is deleted unless an edit has a later clock than the deletion."""

from __future__ import annotations

import pytest

from webapp.records.record import Record, is_deleted


@pytest.mark.parametrize(
    ("deleted", "deleted_clock", "clocks", "value"),
    [
        (True, "2", {"name": "1", "vintage": "2"}, True),
        (True, "2", {"name": "1", "vintage": "3"}, False),
        (True, "2", {}, True),
        (False, "2", {"name": "1"}, False),
        (True, None, {"name": "1"}, False),
    ],
)
def test_later_edit_brings_a_deleted_record_back(
    deleted: bool, deleted_clock: str | None, clocks: dict[str, str], value: bool
) -> None:
    given: Record = {
        "kind": "bottle",
        "id": "a",
        "fields": {},
        "clocks": clocks,
        "deleted": deleted,
        "deleted_clock": deleted_clock,
    }
    assert is_deleted(given) is value
