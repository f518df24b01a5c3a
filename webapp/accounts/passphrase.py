"""Passphrases: argon2id (RFC 9106, second recommended option: 64 MiB, three passes)."""

from __future__ import annotations

import itertools
import re
import unicodedata
from functools import cache
from threading import BoundedSemaphore

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from webapp.accounts.errors import WeakPassphrase

SHORTEST = 12
LONGEST = 128
DIFFERENT_CHARACTERS = 5
LONGEST_STEP_RUN = 0.6
# Twelve characters and more, and yet among the first that anybody tries (common practice).
KNOWN = frozenset(
    """
    passwordpassword password1234 password12345 password123456 passphrase123 mypassword123
    correcthorsebatterystaple qwertyuiop123 qwertyuiopasdf qwertyuiopasdfghjkl 1q2w3e4r5t6y
    letmeinletmein iloveyouiloveyou administrator changemechangeme secondnosesecondnose
    trustno1trustno1 welcomewelcome unbelievable thepassword1 adminadminadmin rootrootroot
    """.split()  # noqa: SIM905
)

_hasher = PasswordHasher()
# Each check takes 64 MiB: strangers must not decide how many run at once.
_at_once = BoundedSemaphore(2)


def hashed(passphrase: str, owner_name: str) -> str:
    """The hash to keep. Raises WeakPassphrase."""
    check_strength(passphrase, owner_name)
    return rehashed(passphrase)


def check_strength(passphrase: str, owner_name: str) -> None:
    """Raises WeakPassphrase. Several blanks in a row count as one (ASVS 2.1.1)."""
    text = _normal(passphrase)
    if len(text) > LONGEST:
        raise WeakPassphrase("too_long", f"Use {LONGEST} characters at most.")
    if len(re.sub(" +", " ", text.strip())) < SHORTEST:
        raise WeakPassphrase("too_short", f"Use {SHORTEST} characters or more; four words will do.")
    folded = text.casefold()
    rest = folded.replace(owner_name.casefold(), "").replace("second nose", "")
    if len(set(rest)) < DIFFERENT_CHARACTERS or _is_staircase(folded):
        raise WeakPassphrase("too_plain", "Use several words that do not belong together.")
    if folded.replace(" ", "") in KNOWN:
        raise WeakPassphrase("known", "Everybody tries this one first; use another.")


def fits(passphrase: str, kept: str | None) -> bool:
    """Whether it is the passphrase of this hash; takes as long where there is no hash."""
    text = _normal(passphrase)
    if len(text) > LONGEST:
        return False
    with _at_once:
        try:
            right = _hasher.verify(kept or _nobody(), text)
        except (VerificationError, InvalidHashError):
            return False
    return right and kept is not None


def outdated(kept: str) -> bool:
    """Whether the hash was made with weaker settings than today's."""
    return _hasher.check_needs_rehash(kept)


def rehashed(passphrase: str) -> str:
    """A passphrase that was checked before, hashed with today's settings."""
    with _at_once:
        return _hasher.hash(_normal(passphrase))


@cache
def _nobody() -> str:
    return _hasher.hash("nobody's passphrase")


def _normal(passphrase: str) -> str:
    # Keyboards differ in how they compose letters (NIST SP 800-63B asks for NFKC or NFKD).
    return unicodedata.normalize("NFKC", passphrase)


def _is_staircase(text: str) -> bool:
    """Mostly letters or digits that count up, count down or stand still: 123456789012."""
    steps = [abs(ord(b) - ord(a)) <= 1 for a, b in itertools.pairwise(text)]
    return sum(steps) >= LONGEST_STEP_RUN * len(steps)
