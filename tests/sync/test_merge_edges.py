"""Merging versions of two different records, and merging with an empty side."""

from __future__ import annotations

import pytest

from webapp.records.record import Record
from webapp.sync.merge import MergeError, merge

EARLY, LATE = "1790000000000-0000-aaaaaaaa", "1790000000001-0000-aaaaaaaa"


def record(kind: str = "tasting", id_: str = "x", **parts: object) -> Record:
    base: Record = {
        "kind": kind,
        "id": id_,
        "fields": {},
        "clocks": {},
        "deleted": False,
        "deleted_clock": None,
    }
    return {**base, **parts}  # type: ignore[typeddict-item]


@pytest.mark.parametrize("other", [record("bottle"), record(id_="y")])
def test_merge_of_two_different_records_is_rejected(other: Record) -> None:
    with pytest.raises(MergeError) as refused:
        merge(record(), other)
    assert (refused.value.code, str(refused.value)) == ("other_record", "other_record")


def test_superseded_values_are_named_by_field() -> None:
    names = ["words", "body", "oak"]
    mine = record(fields=dict.fromkeys(names, 1), clocks=dict.fromkeys(names, EARLY))
    theirs = record(fields=dict.fromkeys(names, 2), clocks=dict.fromkeys(names, LATE))
    assert [one["field"] for one in merge(mine, theirs)["revisions"]] == ["body", "oak", "words"]


def test_undone_deletion_retains_the_superseded_one() -> None:
    mine, theirs = (
        record(deleted=gone, deleted_clock=clock) for gone, clock in ((True, EARLY), (False, LATE))
    )
    merged = merge(mine, theirs)
    assert (merged["record"]["deleted"], merged["changed"]) == (False, True)
    assert merged["revisions"] == [{"field": "deleted", "value": True, "clock": EARLY}]
    assert merge(theirs, mine)["revisions"] == merged["revisions"]
    assert merge(theirs, mine)["changed"] is False
    assert merge(mine, record())["revisions"] == []
