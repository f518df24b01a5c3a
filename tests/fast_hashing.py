"""Passphrase hashing at the lowest cost, for all tests except those of the hashing."""

from __future__ import annotations

from collections.abc import Iterator

import argon2
import pytest

from webapp.auth import passphrase

FULL = passphrase._hasher
FAST = argon2.PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)


def use(hasher: argon2.PasswordHasher) -> None:
    passphrase._hasher = hasher
    # The cached dummy hash was made by the previous hasher.
    passphrase._dummy_hash.cache_clear()


@pytest.fixture(scope="session", autouse=True)
def fast_hashing() -> Iterator[None]:
    """Use Argon2 at its lowest cost for the whole session."""
    use(FAST)
    yield
    use(FULL)


@pytest.fixture
def full_hashing(fast_hashing: None) -> Iterator[None]:
    """Use Argon2 at its production cost, for tests of the hashing."""
    use(FULL)
    yield
    use(FAST)
