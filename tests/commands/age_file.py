"""Age files of a passphrase at a low cost, for tests of the backups and not of the scrypt hash.

`pyrage` chooses the cost of scrypt itself, seconds of processor time for each file. The cost is
written in the file, so `pyrage` also opens these files fast. See age-encryption.org/v1.
"""

from __future__ import annotations

import hashlib
import hmac
import os
from base64 import b64encode

from cryptography.hazmat.primitives.ciphers.aead import ChaCha20Poly1305
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF

LOG_N = 4
ZERO_NONCE = bytes(12)
# The first chunk is the last one too.
ONLY_CHUNK = bytes(11) + b"\1"
CHUNK_BYTES = 65_536


def encrypt(plain: bytes, secret: str) -> bytes:
    """Return what `pyrage.passphrase.encrypt` returns, with a cheap hash."""
    assert len(plain) <= CHUNK_BYTES
    file_key, salt, nonce = os.urandom(16), os.urandom(16), os.urandom(16)
    salted = b"age-encryption.org/v1/scrypt" + salt
    wrapping = hashlib.scrypt(secret.encode(), salt=salted, n=2**LOG_N, r=8, p=1, dklen=32)
    wrapped = ChaCha20Poly1305(wrapping).encrypt(ZERO_NONCE, file_key, None)
    head = b"age-encryption.org/v1\n-> scrypt %s %d\n%s\n---" % (text(salt), LOG_N, text(wrapped))
    mac = hmac.digest(derived(file_key, b"", b"header"), head, "sha256")
    content = ChaCha20Poly1305(derived(file_key, nonce, b"payload")).encrypt(
        ONLY_CHUNK, plain, None
    )
    return head + b" %s\n" % text(mac) + nonce + content


def text(value: bytes) -> bytes:
    return b64encode(value).rstrip(b"=")


def derived(key: bytes, salt: bytes, purpose: bytes) -> bytes:
    return HKDF(SHA256(), 32, salt, purpose).derive(key)
