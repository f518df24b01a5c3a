"""Canonical JSON text (RFC 8785): equal values have equal text on client and server."""

from __future__ import annotations

import hashlib
import json
import re
from typing import Any

SAFE_INTEGER = 2**53


def canonical(value: Any) -> str:
    """Return RFC 8785 text: keys sorted by UTF-16 code units, numbers as in ECMAScript.

    Raises ValueError for NaN, infinity and integers beyond a double, which one side cannot store.
    """
    if value is None or isinstance(value, bool):
        return json.dumps(value)
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, int | float):
        return _number(value)
    if isinstance(value, list):
        return "[" + ",".join(canonical(entry) for entry in value) + "]"
    pairs = sorted(value.items(), key=lambda pair: utf16(pair[0]))
    return "{" + ",".join(f"{_text(key)}:{canonical(entry)}" for key, entry in pairs) + "}"


def digest(value: Any) -> str:
    """Return 32 hex digits that are the same for equal values."""
    # The canonical text has no lone surrogates.
    return hashlib.sha256(canonical(value).encode()).hexdigest()[:32]


def utf16(text: str) -> bytes:
    """Return a sort key that orders texts as JavaScript's `<` does."""
    return text.encode("utf-16-be", "surrogatepass")


def _text(value: str) -> str:
    # JSON.stringify escapes lone surrogates, and no other characters beyond ASCII.
    text = json.dumps(value, ensure_ascii=False)
    return re.sub(r"[\ud800-\udfff]", lambda half: f"\\u{ord(half[0]):04x}", text)


def _number(value: float) -> str:
    """Format as ECMA-262 Number::toString: shortest digits, an exponent outside 1e-6..1e21."""
    try:
        number = float(value)
    except OverflowError:
        raise ValueError("an integer beyond a double") from None
    if number != number or number in (float("inf"), float("-inf")):
        raise ValueError("not a finite number")
    if number.is_integer() and abs(number) <= SAFE_INTEGER:
        return str(int(number))
    return ("-" if number < 0 else "") + _digits(abs(number))


def _digits(number: float) -> str:
    mantissa, exponent = _shortest(number)
    point = len(mantissa) + exponent
    if exponent >= 0 and point <= 21:
        return mantissa + "0" * exponent
    if 0 < point <= 21:
        return f"{mantissa[:point]}.{mantissa[point:]}"
    if -6 < point <= 0:
        return "0." + "0" * -point + mantissa
    rest = f".{mantissa[1:]}" if len(mantissa) > 1 else ""
    return f"{mantissa[0]}{rest}e{point - 1:+d}"


def _shortest(number: float) -> tuple[str, int]:
    """Return (digits, exponent) with number = digits * 10**exponent and the fewest digits."""
    whole, _, exponent = repr(number).partition("e")
    left, _, right = whole.partition(".")
    digits = (left + right).lstrip("0")
    trimmed = digits.rstrip("0")
    return trimmed, int(exponent or 0) - len(right) + len(digits) - len(trimmed)
