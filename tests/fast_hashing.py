"""Passphrases are hashed at the lowest cost in tests, save those about the hashing itself."""

from __future__ import annotations

from collections.abc import Iterator

import argon2
import pytest

from webapp.auth import passphrase

FULL = passphrase._hasher
FAST = argon2.PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)


def use(hasher: argon2.PasswordHasher) -> None:
    passphrase._hasher = hasher
    # The hash that stands in for a missing one was made by the hasher before.
    passphrase._dummy_hash.cache_clear()


@pytest.fixture(scope="session", autouse=True)
def fast_hashing() -> Iterator[None]:
    """Argon2 at its lowest cost for the whole session."""
    use(FAST)
    yield
    use(FULL)


@pytest.fixture
def full_hashing(fast_hashing: None) -> Iterator[None]:
    """Argon2 at the cost of the running server, for tests of the hashing."""
    use(FULL)
    yield
    use(FAST)
