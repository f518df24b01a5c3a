"""Merge properties: order and repetition of deliveries do not matter, and no value is lost."""

from __future__ import annotations

import itertools
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from webapp.records.canonical import canonical
from webapp.records.record import Record, is_deleted
from webapp.sync.merge import merge

DEVICES = ("aaaaaaaa", "bbbbbbbb")
clocks = st.builds(
    "{:013d}-{:04x}-{}".format, st.integers(1, 3), st.integers(0, 1), st.sampled_from(DEVICES)
)
values = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-3, 3),
    st.sampled_from([0.5, 2.0, 1e-7]),
    st.text(max_size=2),
    st.lists(st.text(max_size=1), max_size=2),
)


@st.composite
def records(draw: st.DrawFn) -> Record:
    result = draw(st.dictionaries(st.sampled_from(["a", "b", "c"]), st.tuples(values, clocks)))
    deleted_clock = draw(st.none() | clocks)
    return {
        "kind": "tasting",
        "id": "0192f0c1-2a3b-7c4d-8e5f-60718293a4b5",
        "fields": {name: value for name, (value, _) in result.items()},
        "clocks": {name: clock for name, (_, clock) in result.items()},
        "deleted": draw(st.booleans()) if deleted_clock else False,
        "deleted_clock": deleted_clock,
    }


def text(record: Record) -> str:
    return canonical(dict(record))


def values_of(record: Record) -> set[tuple[str, str, str]]:
    """Return (field, clock, value) for every value of a record."""
    found = {(f, record["clocks"][f], canonical(record["fields"][f])) for f in record["clocks"]}
    if record["deleted_clock"]:
        found.add(("deleted", record["deleted_clock"], canonical(record["deleted"])))
    return found


@given(records(), records())
def test_merging_is_commutative(one: Record, other: Record) -> None:
    assert text(merge(one, other)["record"]) == text(merge(other, one)["record"])


@given(records(), records(), records())
def test_merging_is_associative(one: Record, two: Record, three: Record) -> None:
    left = merge(merge(one, two)["record"], three)["record"]
    right = merge(one, merge(two, three)["record"])["record"]
    assert text(left) == text(right)


@given(records(), records())
def test_merging_again_changes_nothing(one: Record, other: Record) -> None:
    once = merge(one, other)["record"]
    again = merge(once, other)
    assert text(again["record"]) == text(once)
    assert not again["changed"]


@given(st.lists(records(), min_size=3, max_size=4))
def test_every_delivery_order_converges(deliveries: list[Record]) -> None:
    ends = set()
    for order in itertools.permutations(deliveries):
        value: Record | None = None
        for delivery in order:
            value = merge(value, delivery)["record"]
        assert value is not None
        ends.add(text(value))
    assert len(ends) == 1


@given(records(), records())
def test_merge_keeps_every_value_or_supersedes_it(one: Record, other: Record) -> None:
    merged = merge(one, other)
    lost = {
        (entry["field"], entry["clock"], canonical(entry["value"])) for entry in merged["revisions"]
    }
    assert values_of(merged["record"]) | lost == values_of(one) | values_of(other)


@given(records(), records())
def test_changed_flag_matches_the_difference(one: Record, other: Record) -> None:
    merged = merge(one, other)
    assert merged["changed"] == (text(merged["record"]) != text(one))


@given(records(), records())
def test_merge_does_not_modify_its_inputs(one: Record, other: Record) -> None:
    before = (text(one), text(other))
    merge(one, other)
    assert (text(one), text(other)) == before


def record(**parts: Any) -> Record:
    base: Record = {
        "kind": "tasting",
        "id": "0192f0c1-2a3b-7c4d-8e5f-60718293a4b5",
        "fields": {},
        "clocks": {},
        "deleted": False,
        "deleted_clock": None,
    }
    return {**base, **parts}


EARLY, MIDDLE, LATE = (f"000000000000{ms}-0000-aaaaaaaa" for ms in (1, 2, 3))


def test_deleted_record_is_deleted() -> None:
    assert is_deleted(
        record(fields={"a": 1}, clocks={"a": EARLY}, deleted=True, deleted_clock=MIDDLE)
    )


def test_edit_after_the_deletion_restores_the_record() -> None:
    edited = record(fields={"a": 1}, clocks={"a": LATE}, deleted=True, deleted_clock=MIDDLE)
    assert not is_deleted(edited)


def test_restored_record_is_not_deleted() -> None:
    assert not is_deleted(record(deleted=False, deleted_clock=MIDDLE))
