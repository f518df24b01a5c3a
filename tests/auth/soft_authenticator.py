"""A WebAuthn authenticator in software that can also return forged responses."""

from __future__ import annotations

import hashlib
import json
import secrets
from dataclasses import dataclass, field
from typing import Any

import cbor2
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from webauthn.helpers import base64url_to_bytes, bytes_to_base64url

HOST = "localhost"
ORIGIN = "http://localhost"
PRESENT, VERIFIED, ATTESTED = 0x01, 0x04, 0x40


@dataclass
class SoftAuthenticator:
    """Hold one passkey; a test may set any attribute to a wrong value."""

    host: str = HOST
    origin: str = ORIGIN
    flags: int = PRESENT | VERIFIED
    count: int = 0
    step: int = 1
    algorithm: int = -7
    handle: str = ""
    credential_id: bytes = field(default_factory=lambda: secrets.token_bytes(32))
    key: ec.EllipticCurvePrivateKey = field(
        default_factory=lambda: ec.generate_private_key(ec.SECP256R1())
    )

    def create(self, options: dict[str, Any]) -> dict[str, Any]:
        """Return the response to registration options."""
        public_key = options["public_key"]
        self.handle = public_key["user"]["id"]
        attested = (
            bytes(16)
            + len(self.credential_id).to_bytes(2, "big")
            + self.credential_id
            + self._cose_key()
        )
        data = self._data(self.flags | ATTESTED) + attested
        attestation = cbor2.dumps({"fmt": "none", "attStmt": {}, "authData": data})
        return {
            "id": bytes_to_base64url(self.credential_id),
            "client_data": self._client_data("webauthn.create", public_key["challenge"]),
            "attestation": bytes_to_base64url(attestation),
        }

    def get(self, options: dict[str, Any]) -> dict[str, Any]:
        """Return the response to sign-in options."""
        self.count += self.step
        client_data = self._client_data("webauthn.get", options["public_key"]["challenge"])
        data = self._data(self.flags)
        signed = data + hashlib.sha256(base64url_to_bytes(client_data)).digest()
        signature = self.key.sign(signed, ec.ECDSA(hashes.SHA256()))
        return {
            "id": bytes_to_base64url(self.credential_id),
            "client_data": client_data,
            "authenticator_data": bytes_to_base64url(data),
            "signature": bytes_to_base64url(signature),
            "user_handle": self.handle,
        }

    def _data(self, flags: int) -> bytes:
        host_hash = hashlib.sha256(self.host.encode()).digest()
        return host_hash + bytes([flags]) + self.count.to_bytes(4, "big")

    def _client_data(self, type_: str, challenge: str) -> str:
        body = {"type": type_, "challenge": challenge, "origin": self.origin}
        return bytes_to_base64url(json.dumps(body).encode())

    def _cose_key(self) -> bytes:
        numbers = self.key.public_key().public_numbers()
        x, y = numbers.x.to_bytes(32, "big"), numbers.y.to_bytes(32, "big")
        return cbor2.dumps({1: 2, 3: self.algorithm, -1: 1, -2: x, -3: y})
