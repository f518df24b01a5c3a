"""Names of owners and of their devices: what a name may be, and the lasting id made from it."""

from __future__ import annotations

import hashlib
import unicodedata

MAX_NAME_LENGTH = 40
# What the owner of a new server is called until somebody gives them a name.
FIRST_OWNER = "me"


def owner_uid(name: str) -> str:
    """What a phone knows an owner by (20 hex digits).

    Made from the first name given, so that a server built anew for the same person is recognised as
    theirs and is filled again from their phones.
    """
    return hashlib.sha256(f"secondnose owner {name}".encode()).hexdigest()[:20]


def normalize_name(given: str) -> str | None:
    """The name as it is kept: composed, trimmed, on one line; None where nothing is left of it."""
    composed = unicodedata.normalize("NFC", given)
    printable = "".join(" " if _is_invisible(character) else character for character in composed)
    return " ".join(printable.split())[:MAX_NAME_LENGTH].strip() or None


def _is_invisible(character: str) -> bool:
    return unicodedata.category(character)[0] in "CZ"
