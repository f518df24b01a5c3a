"""Which passphrases are accepted, and how they are hashed."""

from __future__ import annotations

import hashlib
from pathlib import Path

import argon2
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.examples import examples
from tests.fast_hashing import FAST
from webapp.auth import passphrase
from webapp.auth.errors import WeakPassphrase


@pytest.mark.parametrize(
    ("given_", "code"),
    [
        ("eleven char", "too_short"),
        ("four         dry", "too_short"),
        ("     four dry     ", "too_short"),
        ("x" * 129, "too_long"),
        ("aaaaaaaaaaaaaaaa", "too_plain"),
        ("abababababababab", "too_plain"),
        ("123456789012", "too_plain"),
        ("abcdefghijklmnop", "too_plain"),
        ("annaannaannaanna", "too_plain"),
        ("second nose anna", "too_plain"),
        ("correct horse battery staple", "known"),
        ("PasswordPassword", "known"),
    ],
)
def test_weak_passphrase_is_rejected_with_advice(given_: str, code: str) -> None:
    with pytest.raises(WeakPassphrase) as refused:
        passphrase.hash_passphrase(given_, "anna")
    assert refused.value.code == code
    assert str(refused.value)


@pytest.mark.parametrize(
    "given_",
    [
        "q1w2e3r4t5y6",
        "leave me alone",
        "qazwsx EDC123",
        "Liverpool 1892!",
        "!!dragon!!1985",
        "Sunshine  sunshine",
        "princessprincess7",
        "Princess1985-04-1",
        "123456789qwerty",
    ],
)
def test_breached_passphrase_is_rejected(given_: str) -> None:
    with pytest.raises(WeakPassphrase) as refused:
        passphrase.check_strength(given_, "zbigniew")
    assert refused.value.code == "known"


@pytest.mark.parametrize(
    "given_",
    [
        "sunshine over dry barrels",
        "dragon 7350 1942 6607",
        "liverpoolish kettle",
        # Nine signs around a word, one more than are taken off.
        "7350dragon!_?~^",
    ],
)
def test_breached_word_among_others_is_accepted(given_: str) -> None:
    passphrase.check_strength(given_, "zbigniew")


def test_lengthened_breached_passwords_are_rejected() -> None:
    assert len(passphrase.breached()) > 19_000
    for entry in passphrase.breached():
        with pytest.raises(WeakPassphrase):
            passphrase.check_strength(entry.upper().ljust(12, "!"), "zbigniew")


def test_breached_password_list_matches_its_source() -> None:
    folder = Path(passphrase.__file__).parent
    digest = hashlib.sha256((folder / "common-passwords.txt.gz").read_bytes()).hexdigest()
    text = (folder / "common-passwords.LICENSE").read_text("utf-8")
    assert f"SHA-256: {digest}\n" in text
    assert "BSD-3-Clause" in text


@pytest.mark.usefixtures("full_hashing")
def test_passphrase_hash_uses_the_stated_parameters() -> None:
    result = argon2.extract_parameters(
        passphrase.hash_passphrase("four dry autumn barrels", "anna")
    )
    assert result.type is argon2.Type.ID
    assert (result.memory_cost, result.time_cost, result.parallelism) == (64 * 1024, 3, 4)
    assert (result.salt_len, result.hash_len) == (16, 32)


@pytest.mark.parametrize(
    "given_", ["four dry autumn barrels", "été à la cave, ñandú", "🍇 grapes and 🍷 glass"]
)
def test_passphrase_of_any_script_verifies(given_: str) -> None:
    kept = passphrase.hash_passphrase(given_, "anna")
    assert passphrase.verify(given_, kept)
    assert not passphrase.verify(given_ + " ", kept)


def test_passphrase_is_unicode_normalized() -> None:
    kept = passphrase.hash_passphrase("re\u0301colte de l'e\u0301te\u0301", "anna")
    assert passphrase.verify("r\u00e9colte de l'\u00e9t\u00e9", kept)


def test_no_passphrase_verifies_without_a_hash() -> None:
    assert not passphrase.verify("nobody's passphrase", None)
    assert not passphrase.verify("", None)
    assert not passphrase.verify("anything at all", "not a hash")


@pytest.mark.usefixtures("full_hashing")
def test_weaker_hash_parameters_are_detected() -> None:
    assert passphrase.needs_rehash(FAST.hash("four dry autumn barrels"))
    assert not passphrase.needs_rehash(passphrase.rehash("four dry autumn barrels"))


@settings(max_examples=examples(40, wide=400))
@given(st.text(min_size=12, max_size=40))
def test_accepted_passphrases_verify(text: str) -> None:
    try:
        kept = passphrase.hash_passphrase(text, "anna")
    except WeakPassphrase:
        return
    assert passphrase.verify(text, kept)
