"""Names of owners and devices, and the permanent id made from an owner's name."""

from __future__ import annotations

import hashlib
import unicodedata

MAX_NAME_LENGTH = 40
# The default name of the owner of a new server.
FIRST_OWNER = "me"


def owner_uid(name: str) -> str:
    """Return the id by which phones identify an owner (20 hex digits).

    It is made from the owner's first name, so that phones recognize a new server for the same
    person and fill it again.
    """
    return hashlib.sha256(f"secondnose owner {name}".encode()).hexdigest()[:20]


def normalize_name(given: str, max_length: int = MAX_NAME_LENGTH) -> str | None:
    """Normalize a name: composed, trimmed, on one line; None if nothing is left."""
    composed = unicodedata.normalize("NFC", given)
    printable = "".join(" " if _is_invisible(character) else character for character in composed)
    return " ".join(printable.split())[:max_length].strip() or None


def _is_invisible(character: str) -> bool:
    return unicodedata.category(character)[0] in "CZ"
