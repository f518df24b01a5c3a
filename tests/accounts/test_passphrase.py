"""Which passphrases may be set, and how they are kept."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.examples import examples
from tests.fast_hashing import FAST
from webapp.accounts import passphrase
from webapp.accounts.errors import WeakPassphrase


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
def test_a_weak_passphrase_is_refused_with_its_cure(given_: str, code: str) -> None:
    with pytest.raises(WeakPassphrase) as refused:
        passphrase.hashed(given_, "anna")
    assert refused.value.code == code
    assert str(refused.value)


@pytest.mark.usefixtures("full_hashing")
@pytest.mark.parametrize(
    "given_", ["four dry autumn barrels", "été à la cave, ñandú", "🍇 grapes and 🍷 glass"]
)
def test_a_passphrase_of_any_script_is_kept_and_fits(given_: str) -> None:
    kept = passphrase.hashed(given_, "anna")
    assert passphrase.fits(given_, kept)
    assert not passphrase.fits(given_ + " ", kept)


def test_keyboards_that_compose_letters_differently_agree() -> None:
    kept = passphrase.hashed("re\u0301colte de l'e\u0301te\u0301", "anna")
    assert passphrase.fits("r\u00e9colte de l'\u00e9t\u00e9", kept)


def test_no_passphrase_fits_where_there_is_none() -> None:
    assert not passphrase.fits("nobody's passphrase", None)
    assert not passphrase.fits("", None)
    assert not passphrase.fits("anything at all", "not a hash")


@pytest.mark.usefixtures("full_hashing")
def test_a_hash_with_weaker_settings_is_seen() -> None:
    assert passphrase.outdated(FAST.hash("four dry autumn barrels"))
    assert not passphrase.outdated(passphrase.rehashed("four dry autumn barrels"))


@settings(max_examples=examples(40, wide=400))
@given(st.text(min_size=12, max_size=40))
def test_every_passphrase_that_is_taken_fits_afterwards(text: str) -> None:
    try:
        kept = passphrase.hashed(text, "anna")
    except WeakPassphrase:
        return
    assert passphrase.fits(text, kept)
