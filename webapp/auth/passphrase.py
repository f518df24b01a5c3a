"""Passphrases: argon2id (RFC 9106, second recommended option: 64 MiB, three passes)."""

from __future__ import annotations

import gzip
import itertools
import re
import unicodedata
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from threading import BoundedSemaphore

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from webapp.auth.errors import WeakPassphrase

MIN_PASSPHRASE_LENGTH = 12
MAX_PASSPHRASE_LENGTH = 128
DIFFERENT_CHARACTERS = 5
LONGEST_STEP_RUN = 0.6
MOST_ADDED = 8
# Obvious guesses that the list of breached passwords may lack.
COMMON = frozenset(
    """
    passwordpassword password1234 password12345 password123456 passphrase123 mypassword123
    correcthorsebatterystaple qwertyuiop123 qwertyuiopasdf qwertyuiopasdfghjkl 1q2w3e4r5t6y
    letmeinletmein iloveyouiloveyou administrator changemechangeme secondnosesecondnose
    trustno1trustno1 welcomewelcome unbelievable thepassword1 adminadminadmin rootrootroot
    """.split()  # noqa: SIM905
)
_LETTER = re.compile(r"[^\W\d_]")
_REPEATED = re.compile(r"^(.+?)\1+$")

_hasher = PasswordHasher(memory_cost=65536, time_cost=3, parallelism=4)
# Each check takes 64 MiB, so clients must not decide how many run at once.
_at_once = BoundedSemaphore(2)


def hash_passphrase(passphrase: str, owner_name: str) -> str:
    """Check a passphrase and return its hash. Raises WeakPassphrase."""
    check_strength(passphrase, owner_name)
    return rehash(passphrase)


def check_strength(passphrase: str, owner_name: str) -> None:
    """Raise WeakPassphrase if it is weak. Several spaces in a row count as one (ASVS 2.1.1)."""
    text = _normalize(passphrase)
    if len(text) > MAX_PASSPHRASE_LENGTH:
        raise WeakPassphrase("too_long", f"Use {MAX_PASSPHRASE_LENGTH} characters at most.")
    if len(re.sub(" +", " ", text.strip())) < MIN_PASSPHRASE_LENGTH:
        raise WeakPassphrase(
            "too_short", f"Use {MIN_PASSPHRASE_LENGTH} characters or more; four words will do."
        )
    folded = text.casefold()
    rest = folded.replace(owner_name.casefold(), "").replace("second nose", "")
    if len(set(rest)) < DIFFERENT_CHARACTERS or _is_sequence(folded):
        raise WeakPassphrase("too_plain", "Use several words that do not belong together.")
    if _is_known(_joined(text)):
        raise WeakPassphrase("known", "Too close to a password from known leaks; use another.")


@cache
def breached() -> frozenset[str]:
    """Return the most common breached passwords; common-passwords.LICENSE names the source."""
    packed = gzip.decompress((Path(__file__).parent / "common-passwords.txt.gz").read_bytes())
    return frozenset(_joined(line) for line in packed.decode().splitlines())


@cache
def _known() -> frozenset[str]:
    return COMMON | breached()


def verify(passphrase: str, kept: str | None) -> bool:
    """Tell whether the passphrase matches the hash; take as long if there is no hash."""
    text = _normalize(passphrase)
    if len(text) > MAX_PASSPHRASE_LENGTH:
        return False
    with _at_once:
        try:
            right = _hasher.verify(kept or _dummy_hash(), text)
        except (VerificationError, InvalidHashError):
            return False
    return right and kept is not None


def needs_rehash(kept: str) -> bool:
    """Tell whether the hash was made with settings weaker than the present ones."""
    return _hasher.check_needs_rehash(kept)


def rehash(passphrase: str) -> str:
    """Hash a passphrase, already checked, with the present settings."""
    with _at_once:
        return _hasher.hash(_normalize(passphrase))


@cache
def _dummy_hash() -> str:
    return _hasher.hash("nobody's passphrase")


def _normalize(passphrase: str) -> str:
    # Keyboards compose letters differently (NIST SP 800-63B requires NFKC or NFKD).
    return unicodedata.normalize("NFKC", passphrase)


def _is_sequence(text: str) -> bool:
    """Tell whether most characters continue a sequence or repeat, as in 123456789012."""
    steps = [abs(ord(b) - ord(a)) <= 1 for a, b in itertools.pairwise(text)]
    return sum(steps) >= LONGEST_STEP_RUN * len(steps)


def _joined(text: str) -> str:
    return "".join(text.casefold().split())


def _is_known(joined: str) -> bool:
    """Tell whether it is a breached password, or one that was only lengthened.

    Most breached passwords are too short for our rules, so people add digits and signs around them
    or repeat them.
    """
    known = _known()
    return any(word in known or _REPEATED.sub(r"\1", word) in known for word in _words_in(joined))


def _words_in(joined: str) -> Iterator[str]:
    """Yield the text without up to MOST_ADDED digits and signs at its ends.

    Only signs are removed from a number, because otherwise almost every number would match.
    """
    for start in range(MOST_ADDED + 1):
        for end in range(len(joined), len(joined) + start - MOST_ADDED - 1, -1):
            word, added = joined[start:end], joined[:start] + joined[end:]
            is_sign_only = not any(character.isalnum() for character in added)
            if is_sign_only or (_LETTER.search(word) and not _LETTER.search(added)):
                yield word
