"""Adding a passkey (WebAuthn) and signing in with it.

User verification (PIN, fingerprint, face) is required, because a passkey is the only factor: a
found key or phone must not be enough. Passkeys are discoverable, so no name is entered. Signing in
with a passkey does not count as entering the passphrase, because anybody who can unlock the phone
could otherwise add a passkey. An owner without a passphrase cannot add one, because it would stay
valid after a passphrase is set.

Signatures cannot be guessed, so attempts are counted by address only, together with attempts at
passphrases.
"""

from __future__ import annotations

import logging
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypeVar

from sqlalchemy import Connection, Row, select
from webauthn import (
    base64url_to_bytes,
    generate_authentication_options,
    generate_registration_options,
    verify_authentication_response,
    verify_registration_response,
)
from webauthn.helpers import (
    bytes_to_base64url,
    generate_user_handle,
    options_to_json_dict,
    parse_client_data_json,
)
from webauthn.helpers.structs import (
    AuthenticatorSelectionCriteria,
    PublicKeyCredentialDescriptor,
    ResidentKeyRequirement,
    UserVerificationRequirement,
)

from webapp.auth import account_events, passkey_challenges, passkeys, sessions
from webapp.auth.errors import AccessError
from webapp.auth.owners import owner_row
from webapp.auth.passkey_challenges import VALID_FOR_S, Adding
from webapp.auth.passkeys import UNKNOWN, NewPasskey
from webapp.auth.request_checks import host_name
from webapp.auth.sessions import Browser, token_hash
from webapp.auth.throttle import address_throttle, check_wait, count_attempt, reset_throttles
from webapp.db.engine import read_transaction, write_transaction
from webapp.db.tables import owner, sign_in

T = TypeVar("T")
_APP = "Second Nose"
_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class RelyingParty:
    """The relying party: the host name of a passkey, and the origins of its pages."""

    id: str
    origins: list[str]


def relying_party(host: str) -> RelyingParty:
    """Return the relying party of a `Host` header that the request checks have accepted.

    Browsers offer passkeys over https and on localhost only; a proxy may forward over http.
    """
    name = host_name(host)
    plain = [f"http://{host}"] if name == "localhost" else []
    return RelyingParty(name, [f"https://{host}", *plain])


def begin_adding(
    owner_id: int, sign_in_id: str | None, party: RelyingParty, browser: Browser, now_s: int
) -> dict[str, Any]:
    """Return the options of `navigator.credentials.create`, as JSON. Raises AccessError."""
    with write_transaction() as connection:
        row = owner_row(connection, owner_id)
        if row.passphrase is None or sign_in_id is None:
            told = "A passkey is a second way in; set a passphrase first."
            raise AccessError("no_passphrase", told)
        passkeys.check_room(connection, owner_id)
        held = passkeys.passkeys_of(connection, owner_id)
        handle = held[0].user_handle if held else bytes_to_base64url(generate_user_handle())
        adding = Adding(owner_id, sign_in_id, handle)
        challenge = passkey_challenges.create(connection, browser, adding, now_s)
    options = generate_registration_options(
        rp_id=party.id,
        rp_name=_APP,
        user_id=base64url_to_bytes(handle),
        user_name=row.name,
        challenge=challenge,
        timeout=VALID_FOR_S * 1000,
        authenticator_selection=AuthenticatorSelectionCriteria(
            resident_key=ResidentKeyRequirement.REQUIRED,
            user_verification=UserVerificationRequirement.REQUIRED,
        ),
        exclude_credentials=[
            PublicKeyCredentialDescriptor(id=base64url_to_bytes(one.credential_id))
            for one in held
            if one.host == party.id
        ],
    )
    return options_to_json_dict(options)


def finish_adding(
    owner_id: int,
    sign_in_id: str,
    given: dict[str, str],
    party: RelyingParty,
    browser: Browser,
    now_s: int,
) -> Row[Any]:
    """Verify and store a new passkey, and record the event. Raises AccessError."""
    challenge = _challenge_of(given["client_data"])
    with write_transaction() as connection:
        taken = passkey_challenges.consume(connection, challenge, browser.key, sign_in_id, now_s)
    made = _verified(
        lambda: verify_registration_response(
            credential=_credential(given, attestationObject="attestation"),
            expected_challenge=challenge,
            expected_rp_id=party.id,
            expected_origin=party.origins,
            require_user_verification=True,
        )
    )
    new = NewPasskey(
        credential_id=bytes_to_base64url(made.credential_id),
        public_key=bytes_to_base64url(made.credential_public_key),
        sign_count=made.sign_count,
        user_handle=taken.user_handle,
        host=party.id,
        name=browser.name,
        key_hash=token_hash(browser.key),
    )
    with write_transaction() as connection:
        _lock_owner(connection, owner_id)
        if not _is_active(connection, sign_in_id, now_s):
            raise AccessError("sign_in", "Sign in first.")
        row = passkeys.add(connection, owner_id, new, now_s)
        account_events.record_event(connection, owner_id, "passkey", sign_in_id, row.name, now_s)
    _log.info("passkey_added", extra={"owner": owner_id, "address": browser.address})
    return row


def begin_sign_in(party: RelyingParty, browser: Browser, now_s: int) -> dict[str, Any]:
    """Return the options of `navigator.credentials.get`, as JSON. Raises AccessError."""
    with write_transaction() as connection:
        check_wait(connection, [address_throttle(browser.address)], now_s)
        challenge = passkey_challenges.create(connection, browser, None, now_s)
    options = generate_authentication_options(
        rp_id=party.id,
        challenge=challenge,
        timeout=VALID_FOR_S * 1000,
        user_verification=UserVerificationRequirement.REQUIRED,
    )
    return options_to_json_dict(options)


def sign_in_with_passkey(
    given: dict[str, str], party: RelyingParty, browser: Browser, now_s: int
) -> tuple[int, str]:
    """Verify a signature and return (owner's id, token). Raises AccessError."""
    throttles = [address_throttle(browser.address)]
    with write_transaction() as connection:
        count_attempt(connection, throttles, now_s)
    challenge = _challenge_of(given["client_data"])
    with write_transaction() as connection:
        passkey_challenges.consume(connection, challenge, browser.key, None, now_s)
    with read_transaction() as connection:
        row = passkeys.find_by_credential(connection, given["id"])
    if row is None:
        _log.warning("sign_in_failed", extra={"address": browser.address, "known": False})
        raise AccessError("unknown_passkey", UNKNOWN)
    if given["user_handle"] != row.user_handle:
        raise _refusal("user_handle", row.owner_id)
    shown = _verified(
        lambda: verify_authentication_response(
            credential=_credential(
                given, authenticatorData="authenticator_data", signature="signature"
            ),
            expected_challenge=challenge,
            expected_rp_id=party.id,
            expected_origin=party.origins,
            credential_public_key=base64url_to_bytes(row.public_key),
            credential_current_sign_count=row.sign_count,
            require_user_verification=True,
        ),
        row.owner_id,
    )
    with write_transaction() as connection:
        # Removing passkeys locks the same row, so neither request misses the other's result.
        _lock_owner(connection, row.owner_id)
        passkeys.record_use(connection, row, shown.new_sign_count, now_s)
        reset_throttles(connection, throttles)
        token = sessions.start(connection, row.owner_id, browser, now_s, passkey=row.id)
    _log.info("signed_in", extra={"owner": row.owner_id, "address": browser.address})
    return int(row.owner_id), token


def _lock_owner(connection: Connection, owner_id: int) -> None:
    connection.execute(select(owner.c.id).where(owner.c.id == owner_id).with_for_update())


def _is_active(connection: Connection, sign_in_id: str, now_s: int) -> bool:
    row = connection.execute(select(sign_in).where(sign_in.c.id == sign_in_id)).one_or_none()
    return row is not None and sessions.is_active(row, now_s)


def _challenge_of(client_data: str) -> bytes:
    return _verified(lambda: parse_client_data_json(base64url_to_bytes(client_data)).challenge)


def _credential(given: dict[str, str], **response: str) -> dict[str, Any]:
    """Build the JSON form of a browser's PublicKeyCredential."""
    told = {name: given[ours] for name, ours in response.items()}
    return {
        "id": given["id"],
        "rawId": given["id"],
        "type": "public-key",
        "response": {"clientDataJSON": given["client_data"], **told},
    }


def _verified(verify: Callable[[], T], owner_id: int | None = None) -> T:
    """Call `verify` and return its result. Raises AccessError for any error of it."""
    try:
        return verify()
    except Exception as error:
        # The library parses untrusted input, and its parsers raise errors of many types.
        raise _refusal(type(error).__name__, owner_id) from error


def _refusal(cause: str, owner_id: int | None) -> AccessError:
    _log.warning("passkey_refused", extra={"cause": cause, "owner": owner_id})
    return AccessError("passkey_refused", "The passkey could not be verified.")
