"""Sign-in with name and passphrase, throttled against guessing.

Attempts to sign in are counted by address and owner, by address, and by owner. The last counter
could lock an owner out, so its wait is at most a minute, and it leaves out the addresses where the
owner has entered the passphrase. A signed-in device counts by itself, so that a thief of one blocks
no other. How many guesses this allows is in the guide. Pairing and the command line check none.
"""

from __future__ import annotations

import logging
from dataclasses import dataclass

from sqlalchemy import Connection

from webapp.auth import passphrase, sessions
from webapp.auth.erasure import DeletePhotos, erase_owner
from webapp.auth.errors import AccessError
from webapp.auth.owners import (
    change_hash,
    find_owner,
    is_unchanged,
    owner_row,
    require_an_owner,
    store_hash,
)
from webapp.auth.sessions import Browser
from webapp.auth.throttle import (
    Throttle,
    count_attempt,
    device_throttle,
    passphrase_throttles,
    reset_throttles,
)
from webapp.db.engine import empty_log, read_transaction, write_transaction

_log = logging.getLogger(__name__)


def sign_in(name: str, given: str, browser: Browser, now_s: int) -> tuple[int, str]:
    """Sign in and return (owner's id, token). Raises AccessError: `wrong` or `too_many_tries`."""
    address = browser.address
    with write_transaction() as connection:
        owner = find_owner(connection, name)
        throttles = passphrase_throttles(
            connection, name, owner.id if owner else None, address, now_s
        )
        count_attempt(connection, throttles, now_s)
    # The slow hash is outside of any transaction, so that it does not block other writes.
    if not passphrase.verify(given, owner.passphrase if owner else None) or owner is None:
        raise _failure(address, owner is not None)
    with write_transaction() as connection:
        if not is_unchanged(connection, owner.id, owner.passphrase):
            raise _failure(address, True)
        reset_throttles(connection, throttles)
        if passphrase.needs_rehash(owner.passphrase):
            store_hash(connection, owner.id, passphrase.rehash(given))
        token = sessions.start(connection, owner.id, browser, now_s, confirmed=True)
    _log.info("signed_in", extra={"owner": owner.id, "address": address})
    return owner.id, token


def change_passphrase(
    owner_id: int, sign_in_id: str | None, current: str, new: str, browser: Browser, now_s: int
) -> str:
    """Change the passphrase, sign all devices out, and return a new token for this one.

    An owner without a passphrase needs no current one. Raises AccessError or WeakPassphrase.
    """
    with read_transaction() as connection:
        name = owner_row(connection, owner_id).name
    # A weak new passphrase is rejected first, so that it does not count as an attempt.
    passphrase.check_strength(new, name)
    check = _check_passphrase(owner_id, sign_in_id, current, now_s)
    hash_ = passphrase.rehash(new) if check.is_right else ""
    with write_transaction() as connection:
        _accept(connection, owner_id, check, browser.address)
        change_hash(connection, owner_id, hash_, now_s)
        sessions.end_all(connection, owner_id, "passphrase", now_s)
        token = sessions.start(connection, owner_id, browser, now_s, confirmed=True)
    _log.info("passphrase_changed", extra={"owner": owner_id, "address": browser.address})
    return token


def confirm(owner_id: int, sign_in_id: str, given: str, address: str, now_s: int) -> None:
    """Check the passphrase again on a signed-in device. Raises AccessError."""
    check = _check_passphrase(owner_id, sign_in_id, given, now_s)
    with write_transaction() as connection:
        _accept(connection, owner_id, check, address)
        sessions.record_confirmation(connection, sign_in_id, address, now_s)
    _log.info("passphrase_confirmed", extra={"owner": owner_id, "address": address})


def erase(
    owner_id: int,
    sign_in_id: str | None,
    given: str,
    delete_photos: DeletePhotos,
    address: str,
    now_s: int,
) -> None:
    """Delete the owner permanently, after a check of the passphrase. Raises AccessError."""
    check = _check_passphrase(owner_id, sign_in_id, given, now_s)
    with write_transaction() as connection:
        _accept(connection, owner_id, check, address)
        erase_owner(connection, delete_photos, owner_id, now_s)
        require_an_owner(connection)
    empty_log()
    _log.info("book_erased", extra={"owner": owner_id, "address": address})


@dataclass(frozen=True, slots=True)
class _PassphraseCheck:
    """The result of a check: the stored hash that was compared, and the counter."""

    is_right: bool
    hash: str | None
    throttle: Throttle


def _check_passphrase(
    owner_id: int, sign_in_id: str | None, given: str, now_s: int
) -> _PassphraseCheck:
    """Compare a passphrase with the owner's, outside of any transaction because it is slow."""
    with write_transaction() as connection:
        owner = owner_row(connection, owner_id)
        throttle = device_throttle(connection, owner_id, sign_in_id)
        if owner.passphrase is not None:
            count_attempt(connection, [throttle], now_s)
    verified = owner.passphrase is None or passphrase.verify(given, owner.passphrase)
    return _PassphraseCheck(verified, owner.passphrase, throttle)


def _accept(connection: Connection, owner_id: int, check: _PassphraseCheck, address: str) -> None:
    """Raise AccessError if the passphrase is wrong or was changed meanwhile."""
    if not check.is_right or not is_unchanged(connection, owner_id, check.hash):
        _log.warning("passphrase_refused", extra={"owner": owner_id, "address": address})
        raise AccessError("wrong", "This is not the passphrase that was set.")
    reset_throttles(connection, [check.throttle])


def _failure(address: str, known: bool) -> AccessError:
    _log.warning("sign_in_failed", extra={"address": address, "known": known})
    return AccessError("wrong", "No owner here has this name and this passphrase.")
