"""Field checks, compiled once from the spec into plain functions.

A check takes a JSON value (never None) and gives None or an error `{"code", "bound"?}`. The phone
runs the same checks (`static/store/validate.js`); `tests/vectors/record.json` holds both to one
behaviour.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from datetime import date
from functools import cache
from typing import Any, TypeAlias

from webapp import spec

Problem: TypeAlias = dict[str, Any]
Check: TypeAlias = Callable[[Any], Problem | None]

OWN_WORDS_MAX = 40
_FORBIDDEN = re.compile("[\x00\ud800-\udfff]")
_UUID = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")
_DATE = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")
_MOMENT = re.compile(
    r"([0-9]{4}-[0-9]{2}-[0-9]{2})T([01][0-9]|2[0-3]):[0-5][0-9]:[0-5][0-9]"
    r"(\.[0-9]{1,9})?(Z|[+-]([01][0-9]|2[0-3]):[0-5][0-9])"
)
_GTIN = re.compile(r"[0-9]{8}|[0-9]{12,14}")


class CheckError(ValueError):
    """`code` is unknown_kind: there is no such kind of record."""

    code = "unknown_kind"


def problems_of(checks: dict[str, Check], fields: dict[str, Any]) -> dict[str, list[Problem]]:
    """As `check_fields`, with the checks in hand."""
    problems: dict[str, list[Problem]] = {}
    for field, value in fields.items():
        check = checks.get(field)
        if check is None or value is None:
            continue
        problem = check(value)
        if problem is not None:
            problems[field] = [problem]
    return problems


@cache
def _all_checks() -> dict[str, dict[str, Check]]:
    return {
        kind: {field: _compile(line) for field, line in fields.items()}
        for kind, fields in spec.kinds().items()
    }


def checks_of(kind: str) -> dict[str, Check]:
    """The compiled checks of one kind. Raises CheckError."""
    checks = _all_checks().get(kind)
    if checks is None:
        raise CheckError("unknown_kind")
    return checks


def is_id(value: object) -> bool:
    """True for a UUID in small letters."""
    return isinstance(value, str) and _UUID.fullmatch(value) is not None


def has_forbidden(text: str) -> bool:
    """True for NUL and lone surrogates, which neither PostgreSQL nor UTF-8 can hold."""
    if text.isascii():
        return "\0" in text
    return _FORBIDDEN.search(text) is not None


def _compile(line: dict[str, Any]) -> Check:
    return _MAKERS[line["type"]](line)


def _text(line: dict[str, Any]) -> Check:
    longest = line["max"]

    def check(value: Any) -> Problem | None:
        if not isinstance(value, str):
            return {"code": "not_text"}
        if has_forbidden(value):
            return {"code": "bad_character"}
        return {"code": "too_long", "bound": longest} if len(value) > longest else None

    return check


# Numbers are most of a tasting: what is right is let through by its exact type (a boolean has
# another) and one comparison, before anything asks what is wrong.


def _number(line: dict[str, Any]) -> Check:
    low, high = line["min"], line["max"]

    def check(value: Any) -> Problem | None:
        if type(value) not in (int, float) or not _finite(value):
            return {"code": "not_number"}
        return None if low <= value <= high else _outside(line, value)

    return check


def _integer(line: dict[str, Any]) -> Check:
    low, high = line["min"], line["max"]

    def check(value: Any) -> Problem | None:
        if type(value) is int and low <= value <= high:
            return None
        if type(value) not in (int, float) or not _finite(value) or value % 1:
            return {"code": "not_integer"}
        return None if low <= value <= high else _outside(line, value)

    return check


def _outside(line: dict[str, Any], value: float) -> Problem:
    if value < line["min"]:
        return {"code": "too_low", "bound": line["min"]}
    return {"code": "too_high", "bound": line["max"]}


def _finite(value: float) -> bool:
    # An integer of thousands of digits is finite for Python and infinite for the phone; the
    # bounds settle it.
    return type(value) is int or math.isfinite(value)


def _flag(line: dict[str, Any]) -> Check:
    return lambda value: None if isinstance(value, bool) else {"code": "not_flag"}


def _one_of(ids: frozenset[str]) -> Check:
    def check(value: Any) -> Problem | None:
        if not isinstance(value, str):
            return {"code": "not_choice"}
        return None if value in ids else {"code": "unknown_choice"}

    return check


def _choice(line: dict[str, Any]) -> Check:
    return _one_of(frozenset(spec.vocabulary(line["of"])))


def _style(line: dict[str, Any]) -> Check:
    return _one_of(frozenset(spec.vocabulary("style")))


def _capitals(count: int) -> Callable[[dict[str, Any]], Check]:
    pattern = re.compile(f"[A-Z]{{{count}}}")

    def check(value: Any) -> Problem | None:
        if not isinstance(value, str):
            return {"code": "not_choice"}
        return None if pattern.fullmatch(value) else {"code": "unknown_choice"}

    return lambda line: check


def _list_of(line: dict[str, Any], entry_check: Check, key: Callable[[str], str]) -> Check:
    most = line["max"]

    def check(value: Any) -> Problem | None:
        if not isinstance(value, list):
            return {"code": "not_list"}
        if len(value) > most:
            return {"code": "too_many", "bound": most}
        seen: set[str] = set()
        for entry in value:
            problem = entry_check(entry)
            if problem is not None:
                return problem
            if key(entry) in seen:
                return {"code": "repeated"}
            seen.add(key(entry))
        return None

    return check


def _choices(line: dict[str, Any]) -> Check:
    return _list_of(line, _choice(line), lambda entry: entry)


def _aromas(line: dict[str, Any]) -> Check:
    words = spec.vocabulary("aroma")
    known = frozenset([*words, *(f"{word}:{strength}" for word in words for strength in (1, 2, 3))])

    def check(entry: Any) -> Problem | None:
        if not isinstance(entry, str):
            return {"code": "not_choice"}
        if not entry.startswith("~"):
            return None if entry in known else {"code": "unknown_choice"}
        if has_forbidden(entry):
            return {"code": "bad_character"}
        if len(entry) == 1:
            return {"code": "unknown_choice"}
        return (
            {"code": "too_long", "bound": OWN_WORDS_MAX} if len(entry) > OWN_WORDS_MAX + 1 else None
        )

    return _list_of(
        line, check, lambda entry: entry if entry.startswith("~") else entry.partition(":")[0]
    )


def _is_day(text: str) -> bool:
    parts = _DATE.fullmatch(text)
    if parts is None:
        return False
    try:
        date(*map(int, parts.groups()))
    except ValueError:
        return False
    return True


def _date(line: dict[str, Any]) -> Check:
    return lambda value: None if isinstance(value, str) and _is_day(value) else {"code": "not_date"}


def _moment(line: dict[str, Any]) -> Check:
    def check(value: Any) -> Problem | None:
        parts = _MOMENT.fullmatch(value) if isinstance(value, str) else None
        return None if parts is not None and _is_day(parts[1]) else {"code": "not_moment"}

    return check


def _ref(line: dict[str, Any]) -> Check:
    return lambda value: None if is_id(value) else {"code": "not_id"}


def _refs(line: dict[str, Any]) -> Check:
    return _list_of(line, _ref(line), lambda entry: entry)


def _gtin(line: dict[str, Any]) -> Check:
    """GS1 General Specifications: weights 3, 1 from the right; the sum with the check digit is a
    multiple of ten.
    """

    def check(value: Any) -> Problem | None:
        if not isinstance(value, str) or not _GTIN.fullmatch(value):
            return {"code": "not_gtin"}
        weighted = sum(
            int(digit) * (3 if place % 2 else 1) for place, digit in enumerate(reversed(value))
        )
        return {"code": "bad_check_digit"} if weighted % 10 else None

    return check


_MAKERS: dict[str, Callable[[dict[str, Any]], Check]] = {
    "text": _text,
    "number": _number,
    "integer": _integer,
    "flag": _flag,
    "choice": _choice,
    "choices": _choices,
    "style": _style,
    "country": _capitals(2),
    "currency": _capitals(3),
    "date": _date,
    "moment": _moment,
    "aromas": _aromas,
    "ref": _ref,
    "refs": _refs,
    "gtin": _gtin,
}
