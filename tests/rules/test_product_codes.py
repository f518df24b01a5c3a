"""Invariants of check digits, and parsers that never raise unexpected errors."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.reference.rules.product_codes import (
    currency_digits,
    gtin_in_store,
    gtin_normal,
    gtin_valid,
)
from webapp import spec
from webapp.rules.errors import RuleError


def with_check_digit(body: str) -> str:
    return next(body + digit for digit in "0123456789" if gtin_valid(body + digit))


CODES = st.sampled_from([7, 11, 12, 13]).flatmap(
    lambda size: st.text("0123456789", min_size=size, max_size=size).map(with_check_digit)
)


@given(CODES, st.data())
def test_single_wrong_digit_is_detected(code, data):
    place = data.draw(st.integers(0, len(code) - 1))
    wrong = data.draw(st.sampled_from([d for d in "0123456789" if d != code[place]]))
    assert not gtin_valid(code[:place] + wrong + code[place + 1 :])


@given(CODES, st.data())
def test_swapped_digits_are_detected_unless_five_apart(code, data):
    place = data.draw(st.integers(0, len(code) - 2))
    first, second = code[place], code[place + 1]
    swapped = code[:place] + second + first + code[place + 2 :]
    unseen = abs(int(first) - int(second)) in (0, 5)
    assert gtin_valid(swapped) == unseen


@given(CODES)
def test_stored_code_is_valid_and_unchanged(code):
    stored = gtin_normal(code)
    assert gtin_valid(stored)
    assert gtin_normal(stored) == stored
    assert len(stored) in (13, 14)


@given(st.text(max_size=20) | st.none() | st.integers())
def test_any_text_is_accepted_or_rejected_with_a_reason(text):
    try:
        stored = gtin_normal(text)
    except RuleError as error:
        stored = error.code
    assert gtin_valid(stored) or stored in ("not_digits", "wrong_length", "wrong_check_digit")


def test_shop_internal_code_is_distinguished():
    assert gtin_in_store("2000000000008")
    assert not gtin_in_store("6291041500213")


@given(st.text(max_size=5))
def test_a_currency_has_digits_or_is_unknown(code):
    try:
        found = currency_digits(code)
    except RuleError as error:
        found = error.code
    assert found in (0, 2, 3, "unknown_currency")


def test_currencies_are_in_one_list_only():
    codes = [code for listed in spec.load("currencies")["digits"].values() for code in listed]
    assert len(codes) == len(set(codes))
    with pytest.raises(RuleError):
        currency_digits("XXX")
