"""Canonical JSON, checked with examples of RFC 8785 (appendix B and section 3.2; from memory)."""

from __future__ import annotations

import json
import math
import struct

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.records.canonical import canonical

# IEEE 754 bits and their ECMAScript text: RFC 8785 appendix B (from memory).
NUMBERS = [
    ("0000000000000000", "0"),
    ("8000000000000000", "0"),
    ("0000000000000001", "5e-324"),
    ("8000000000000001", "-5e-324"),
    ("7fefffffffffffff", "1.7976931348623157e+308"),
    ("4340000000000000", "9007199254740992"),
    ("c340000000000000", "-9007199254740992"),
    ("4430000000000000", "295147905179352830000"),
    ("44b52d02c7e14af5", "9.999999999999997e+22"),
    ("44b52d02c7e14af6", "1e+23"),
    ("44b52d02c7e14af7", "1.0000000000000001e+23"),
    ("444b1ae4d6e2ef4e", "999999999999999700000"),
    ("444b1ae4d6e2ef4f", "999999999999999900000"),
    ("444b1ae4d6e2ef50", "1e+21"),
    ("3eb0c6f7a0b5ed8c", "9.999999999999997e-7"),
    ("3eb0c6f7a0b5ed8d", "0.000001"),
    ("41b3de4355555553", "333333333.3333332"),
    ("41b3de4355555555", "333333333.3333333"),
    ("becbf647612f3696", "-0.0000033333333333333333"),
    ("43143ff3c1cb0959", "1424953923781206.2"),
]


@pytest.mark.parametrize(("bits", "text"), NUMBERS)
def test_numbers_are_written_as_ecmascript_does(bits: str, text: str) -> None:
    assert canonical(struct.unpack(">d", bytes.fromhex(bits))[0]) == text


def test_keys_are_sorted_by_utf16_units() -> None:
    """Check the example of RFC 8785 section 3.2.3 (from memory)."""
    keys = ["\u20ac", "\r", "\ufb33", "1", "\U0001f600", "\x80", "\xf6"]
    values = {key: place for place, key in enumerate(keys, start=1)}
    assert [*json.loads(canonical(values)).values()] == [2, 4, 6, 7, 1, 5, 3]


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, 10**400])
def test_invalid_json_value_is_rejected(value: float) -> None:
    with pytest.raises(ValueError, match=r"double|finite"):
        canonical(value)


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_a_number_reads_back_as_itself(number: float) -> None:
    assert float(canonical(number)) == number


@given(
    st.recursive(
        st.none() | st.booleans() | st.text(), lambda x: st.lists(x) | st.dictionaries(st.text(), x)
    )
)
def test_a_value_reads_back_as_itself(value: object) -> None:
    assert json.loads(canonical(value)) == value


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ({"b": [1, "a"], "a": None, "c": True}, '{"a":null,"b":[1,"a"],"c":true}'),
        ({"\ud800": 1, "a": 2}, '{"a":2,"\\ud800":1}'),
        ([], "[]"),
        ({}, "{}"),
        ("\u00e9\n\ud800\U0001f347", '"\u00e9\\n\\ud800\U0001f347"'),
        ([False, 0, 0.5, -1.5], "[false,0,0.5,-1.5]"),
        (2**53 + 2, "9007199254740994"),
        (2**53, "9007199254740992"),
        (-(2**60), "-1152921504606847000"),
        (123456.75, "123456.75"),
        (1e-6, "0.000001"),
        (1.5e-7, "1.5e-7"),
        (2e300, "2e+300"),
    ],
)
def test_value_has_one_canonical_text(value: object, text: str) -> None:
    assert canonical(value) == text
