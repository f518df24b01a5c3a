"""Standard codes: trade item numbers (GS1) and currencies (ISO 4217)."""

import re

from webapp import spec
from webapp.rules.errors import RuleError

LENGTHS = (8, 12, 13, 14)


def gtin_valid(code: object) -> bool:
    """Return whether ``code`` is 8, 12, 13 or 14 digits with a valid check digit."""
    return (
        isinstance(code, str)
        and re.fullmatch("[0-9]+", code) is not None
        and len(code) in LENGTHS
        and _check_digit(code[:-1]) == code[-1]
    )


def gtin_normal(code: object) -> str:
    """Normalize a number for storage: 13 digits, left-padded, or 14 with a packaging level.

    Spaces and hyphens are dropped. Raises RuleError: not_digits, wrong_length, wrong_check_digit.
    """
    digits = re.sub("[ -]", "", code) if isinstance(code, str) else ""
    if re.fullmatch("[0-9]+", digits) is None:
        raise RuleError("not_digits", "gtin")
    if len(digits) not in LENGTHS:
        raise RuleError("wrong_length", "gtin")
    if not gtin_valid(digits):
        raise RuleError("wrong_check_digit", "gtin")
    return digits[1:] if len(digits) == 14 and digits[0] == "0" else digits.rjust(13, "0")


def gtin_in_store(code: object) -> bool:
    """Return whether a shop issued the number itself, so that it differs between shops.

    Prefixes 020-029, 040-049 and 200-299 (from memory). A prefix identifies where a number was
    issued, never the origin of a wine.
    """
    prefix = gtin_normal(code)[-13:][:3]
    return "020" <= prefix <= "029" or "040" <= prefix <= "049" or "200" <= prefix <= "299"


def currency_digits(code: object) -> int:
    """Return the stored decimals of a currency (ISO 4217). Raises RuleError: unknown_currency."""
    for digits, codes in spec.load("currencies")["digits"].items():
        if code in codes:
            return int(digits)
    raise RuleError("unknown_currency", "currency")


def _check_digit(body: str) -> str:
    """Return the digit that completes the sum, weighted 3, 1, 3 ... from the right, to tens."""
    total = sum(int(digit) * (1 if i % 2 else 3) for i, digit in enumerate(reversed(body)))
    return str(-total % 10)
