"""Encrypted backups: a ZIP of two files in the age format, which the tool `age` opens too.

`key.age` is an X25519 identity, encrypted with the passphrase (age-encryption.org/v1, scrypt);
`backup.age` is the backup, encrypted to that identity as a stream, so that memory stays small.
Without this program: `age --decrypt -i key.age backup.age`.
"""

from __future__ import annotations

import re
import zipfile
from pathlib import Path
from typing import BinaryIO

from pyrage import DecryptError, EncryptError, decrypt_io, encrypt_io, passphrase, x25519

from webapp.commands.backup_zip import DAMAGED

KEY = "key.age"
CONTENT = "backup.age"
MIN_LENGTH = 12


class CannotDecrypt(Exception):
    """The passphrase is wrong or the file is damaged."""


def encrypt_backup(plain: Path, out: BinaryIO, secret: str) -> None:
    """Write the encrypted form of `plain` to `out`. Raises OSError."""
    identity = x25519.Identity.generate()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as container:
        container.writestr(KEY, passphrase.encrypt(f"{identity}\n".encode(), secret))
        with plain.open("rb") as source, container.open(CONTENT, "w", force_zip64=True) as target:
            try:
                encrypt_io(source, target, [identity.to_public()])
            except EncryptError as error:
                raise _system_error(str(error).removeprefix("OSError: ")) from None


def _system_error(message: str) -> OSError:
    """Return the error of the system that the encryption has made text of."""
    found = re.match(r"\[Errno (\d+)\] (.*)", message)
    return OSError(int(found[1]), found[2]) if found else OSError(message)


def is_encrypted(file: Path) -> bool:
    """Tell whether a backup is encrypted; False if it is no ZIP or a damaged one."""
    try:
        with zipfile.ZipFile(file) as container:
            return {KEY, CONTENT} <= set(container.namelist())
    except DAMAGED:
        return False


def decrypt_backup(file: Path, out: BinaryIO, secret: str) -> None:
    """Write the backup in the encrypted `file` to `out`. Raises CannotDecrypt, OSError."""
    try:
        with zipfile.ZipFile(file) as container:
            key = passphrase.decrypt(container.read(KEY), secret).decode().strip()
            with container.open(CONTENT) as source:
                decrypt_io(source, out, [x25519.Identity.from_str(key)])
    except (DecryptError, *DAMAGED) as error:
        raise CannotDecrypt(str(error)) from None
    except OSError as error:
        # Only an error of the system has a number; `pyrage` reports damage without one.
        if error.errno is not None:
            raise
        raise CannotDecrypt(str(error)) from None
