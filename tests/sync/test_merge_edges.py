"""Merging where the two are no versions of one record, and where one side says nothing."""

from __future__ import annotations

import pytest

from webapp.records.record import Record
from webapp.sync.merge import MergeError, merge

EARLY, LATE = "1790000000000-0000-aaaaaaaa", "1790000000001-0000-aaaaaaaa"


def record(kind: str = "tasting", id_: str = "x", **told: object) -> Record:
    base: Record = {
        "kind": kind,
        "id": id_,
        "fields": {},
        "clocks": {},
        "deleted": False,
        "deleted_clock": None,
    }
    return {**base, **told}  # type: ignore[typeddict-item]


@pytest.mark.parametrize("other", [record("bottle"), record(id_="y")])
def test_two_records_are_not_merged(other: Record) -> None:
    with pytest.raises(MergeError) as refused:
        merge(record(), other)
    assert (refused.value.code, str(refused.value)) == ("other_record", "other_record")


def test_what_was_overruled_comes_by_the_name_of_its_field() -> None:
    names = ["words", "body", "oak"]
    mine = record(fields=dict.fromkeys(names, 1), clocks=dict.fromkeys(names, EARLY))
    theirs = record(fields=dict.fromkeys(names, 2), clocks=dict.fromkeys(names, LATE))
    assert [lost["field"] for lost in merge(mine, theirs)["lost"]] == ["body", "oak", "words"]


def test_a_mark_taken_back_keeps_the_deletion_it_overrules() -> None:
    mine, theirs = (
        record(deleted=gone, deleted_clock=clock) for gone, clock in ((True, EARLY), (False, LATE))
    )
    merged = merge(mine, theirs)
    assert (merged["record"]["deleted"], merged["changed"]) == (False, True)
    assert merged["lost"] == [{"field": "deleted", "value": True, "clock": EARLY}]
    assert merge(theirs, mine)["lost"] == merged["lost"]
    assert merge(theirs, mine)["changed"] is False
    assert merge(mine, record())["lost"] == []
