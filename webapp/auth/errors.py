"""The exceptions of authentication and accounts."""

from __future__ import annotations

from typing import Any

from webapp.auth.names import FIRST_OWNER

STATUS = {
    "unknown_host": 421,
    "cross_origin": 403,
    "sign_in": 401,
    "revoked": 401,
    "passphrase_changed": 401,
    "upgraded": 401,
    "erased": 401,
    "confirm": 403,
    "update": 426,
    "wrong": 401,
    "other_owner": 409,
    "too_many_tries": 429,
    "too_many_requests": 429,
    "no_device": 404,
    "no_pairing": 404,
    "pairing_cancelled": 404,
    "weak_passphrase": 422,
    "no_passkey": 404,
    "no_passphrase": 409,
    "passkey_added_before": 409,
    "too_many_passkeys": 409,
    "passkey_expired": 410,
    "unknown_passkey": 401,
    "passkey_refused": 401,
    "guest_ended": 401,
    "no_such_table": 404,
    "no_such_glass": 404,
    "no_such_guest": 404,
    "table_ended": 409,
    "guest_taken": 409,
    "full": 409,
}

ERASED = "This notebook was erased; nothing of it is left on the server."


class AccessError(Exception):
    """A request is denied. `code` is one of STATUS; `details` becomes `errors` in the response."""

    def __init__(
        self, code: str, detail: str, *, details: Any = None, retry_after_s: int | None = None
    ) -> None:
        super().__init__(detail)
        self.code = code
        self.detail = detail
        self.details = details
        self.retry_after_s = retry_after_s
        self.status = STATUS[code]


class WeakPassphrase(ValueError):
    """The passphrase is too weak; `code` is too_short, too_long, too_plain or known."""

    def __init__(self, code: str, cure: str) -> None:
        super().__init__(cure)
        self.code = code


class NameTaken(ValueError):
    """Another owner has this name, or it has no printable character."""


class NotebookHidden(ValueError):
    """A second owner would lock out the first one, who has no passphrase."""

    def __init__(self, name: str, wanted: str) -> None:
        given = f"'secondnose user rename {name} {wanted}', then " if name == FIRST_OWNER else ""
        named = wanted if given else name
        super().__init__(
            f"The notebook of {name} is in use and has no passphrase; nobody could open it beside "
            f"another one. Give it one first: {given}'secondnose user passphrase {named}'."
        )
