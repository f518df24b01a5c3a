"""Values of settings that an operator writes: one that cannot work is a one-line error."""

from __future__ import annotations

import re
import unicodedata
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from webapp.errors import StartupError

S3_SCHEME = "s3://"
_HOST = re.compile(r"[\w.-]+|\[[0-9a-f:.]+\]", re.ASCII | re.IGNORECASE)
_BUCKET = re.compile(r"s3://[\w.-]+(/.*)?", re.ASCII)


def whole_number(variable: str, given: Any, least: int = 0, most: int | None = None) -> int:
    """Return a number of at least `least` and, if there is a limit, at most `most`."""
    if str(given).isascii() and str(given).isdecimal():
        number = int(given)
        if number >= least and (most is None or number <= most):
            return number
    limits = "" if not least and most is None else f" of {least} or more"
    if most is not None:
        limits = f" from {least} to {most}"
    raise StartupError(f"{variable} must be a whole number{limits}, not {given!r}.")


def one_of(variable: str, given: str, allowed: tuple[str, ...]) -> str:
    """Return a value that is allowed; an empty one stands for the default."""
    if given and given not in allowed:
        raise StartupError(f"{variable} must be one of {', '.join(allowed)}, not {given!r}.")
    return given


def host_names(variable: str, given: str) -> list[str]:
    """Return the host names in a list that is separated by blanks or commas."""
    names = [_as_sent(name) for name in given.replace(",", " ").split()]
    for name in names:
        if not _HOST.fullmatch(name):
            raise StartupError(
                f"{variable} must be host names such as 'localhost wine.example', without https:// "
                f"and without a port, not {name!r}."
            )
    return names


def _as_sent(name: str) -> str:
    """Return a host name as browsers send it: other letters in Punycode (RFC 5891)."""
    labels = unicodedata.normalize("NFC", name).split(".")
    return ".".join(
        one if one.isascii() else f"xn--{one.lower().encode('punycode').decode()}" for one in labels
    )


def in_address(host: str) -> str:
    """Return a host as it stands in an address: an IPv6 one in brackets (RFC 3986)."""
    return f"[{host}]" if ":" in host else host


def public_address(variable: str, given: str) -> str:
    """Return the public address as browsers send it."""
    try:
        address = urlsplit(given)
        host, port = in_address(_as_sent(address.hostname or "")), address.port
    except ValueError:
        host, port = "", None
    if (
        not host
        or not _HOST.fullmatch(host)
        or address.scheme not in ("http", "https")
        or address.path not in ("", "/")
        or any((address.query, address.fragment, "@" in address.netloc))
    ):
        raise StartupError(
            f"{variable} must be an address such as https://wine.example, with a port if needed "
            f"and without a path, not {given!r}."
        )
    return f"{address.scheme}://{host}" + ("" if port is None else f":{port}")


def photo_place(variable: str, given: str) -> str:
    """Return the folder or bucket of the photos."""
    if given.startswith(S3_SCHEME):
        if not _BUCKET.fullmatch(given):
            raise StartupError(f"{variable} must name a bucket: s3://bucket or s3://bucket/prefix.")
        return given
    if ":" in given.partition("/")[0] or given.startswith("~"):
        raise StartupError(
            f"{variable} must be a folder such as /srv/photos, or s3://bucket, not {given!r}."
        )
    if Path(given).exists() and not Path(given).is_dir():
        raise StartupError(f"{variable} must be a folder, and {given} is a file.")
    return str(Path(given).absolute())
