"""Passphrases exactly at the limits of length and variety, and the number of parallel hashes."""

from __future__ import annotations

import pytest

from webapp.auth import passphrase
from webapp.auth.errors import WeakPassphrase


@pytest.mark.parametrize(
    ("given", "code"),
    [
        ("dry autumn b", None),
        ("dry autumn ", "too_short"),
        ("dry   autum b", "too_short"),
        (" dry autumn ", "too_short"),
        ("########password", "known"),
        ("#########password", None),
        ("password#######", "known"),
        ("password########", "known"),
        ("password#########", None),
        ("147258369###", "known"),
        ("147258369906", None),
        ("b3x9 kq7 mz " * 10 + "12345678", None),
        ("b3x9 kq7 mz " * 10 + "123456789", "too_long"),
        ("xqzmxqzmxqzmxqzm", "too_plain"),
        ("xqzmkxqzmkxqzmk", None),
        ("annaXQZMkannaXQZMk", None),
        ("ANNAxqzmANNA", "too_plain"),
        ("Second Nosexqzm", "too_plain"),
        ("Second Nosexqzmk", None),
        ("qwertyuiop 123", "known"),
        ("RootRootRoot", "too_plain"),
    ],
)
def test_a_passphrase_is_judged_exactly_at_its_limits(given: str, code: str | None) -> None:
    found = None
    try:
        passphrase.check_strength(given, "Anna")
    except WeakPassphrase as error:
        found = error.code
    assert found == code


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("abcdkqzmvx", False),
        ("abcdefgkqzm", True),
        ("aacczzx", False),
        ("fedcbaxqzmk", False),
        ("fedcbaaxqzm", True),
    ],
)
def test_sequence_check_counts_six_of_ten_steps(text: str, plain: bool) -> None:
    assert passphrase._is_sequence(text) is plain


def test_at_most_two_passphrases_are_hashed_at_once() -> None:
    items = [passphrase._at_once.acquire(blocking=False) for _ in range(3)]
    for taken in items:
        if taken:
            passphrase._at_once.release()
    assert items == [True, True, False]


def test_only_passphrases_of_128_characters_verify() -> None:
    longest = "b3x9 kq7 mz " * 10 + "12345678"
    assert passphrase.verify(longest, passphrase.rehash(longest))
    assert not passphrase.verify(longest + "9", passphrase.rehash(longest + "9"))
