"""Ids that every device derives alike, so that one sheet that arrives in two ways is one record."""

from __future__ import annotations

import hashlib
import uuid

_VERSION, _VARIANT = 0x80, 0x80


def sheet_id(guest: str, glass: str) -> str:
    """Return the id of a guest's sheet for a glass: a UUID of version 8 (RFC 9562) from SHA-256."""
    digest = bytearray(hashlib.sha256(f"sheet:{guest}:{glass}".encode()).digest()[:16])
    digest[6] = digest[6] & 0x0F | _VERSION
    digest[8] = digest[8] & 0x3F | _VARIANT
    return str(uuid.UUID(bytes=bytes(digest)))


def guest_device(guest: str) -> str:
    """Return the device in the clocks of a guest's answers, the same for each way they arrive."""
    return "g" + hashlib.sha256(f"guest:{guest}".encode()).hexdigest()[:15]
