"""Field validators, compiled once from the spec into functions.

A validator takes a JSON value (never None) and returns None or an error `{"code", "bound"?}`. The
phone has the same validators (`static/store/validate.js`); `tests/vectors/record.json` tests both.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable
from datetime import date
from functools import cache
from typing import Any, TypeAlias

from webapp import spec

FieldError: TypeAlias = dict[str, Any]
Validator: TypeAlias = Callable[[Any], FieldError | None]

CUSTOM_AROMA_MAX = 40
_FORBIDDEN = re.compile("[\x00\ud800-\udfff]")
_UUID = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")
_DATE = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")
_TIMESTAMP = re.compile(
    r"([0-9]{4}-[0-9]{2}-[0-9]{2})T([01][0-9]|2[0-3]):[0-5][0-9]:[0-5][0-9]"
    r"(\.[0-9]{1,9})?(Z|[+-]([01][0-9]|2[0-3]):[0-5][0-9])"
)
_GTIN = re.compile(r"[0-9]{8}|[0-9]{12,14}")


class UnknownKindError(ValueError):
    """There is no such kind of record; `code` is unknown_kind."""

    code = "unknown_kind"


def validate(
    validators: dict[str, Validator], fields: dict[str, Any]
) -> dict[str, list[FieldError]]:
    """Return the errors of each invalid field; fields without a validator and None are valid."""
    errors: dict[str, list[FieldError]] = {}
    for field, value in fields.items():
        check = validators.get(field)
        if check is None or value is None:
            continue
        error = check(value)
        if error is not None:
            errors[field] = [error]
    return errors


@cache
def _all_validators() -> dict[str, dict[str, Validator]]:
    return {
        kind: {field: _compile(field_spec) for field, field_spec in fields.items()}
        for kind, fields in spec.kinds().items()
    }


def validators_for(kind: str) -> dict[str, Validator]:
    """Return the validators of one kind. Raises UnknownKindError."""
    validators = _all_validators().get(kind)
    if validators is None:
        raise UnknownKindError("unknown_kind")
    return validators


def is_id(value: object) -> bool:
    """Tell whether a value is a lower-case UUID."""
    return isinstance(value, str) and _UUID.fullmatch(value) is not None


def has_forbidden_chars(text: str) -> bool:
    """Tell whether a text has NUL or lone surrogates, which PostgreSQL or UTF-8 cannot store."""
    if text.isascii():
        return "\0" in text
    return _FORBIDDEN.search(text) is not None


def _compile(field_spec: dict[str, Any]) -> Validator:
    return _MAKERS[field_spec["type"]](field_spec)


def _text(field_spec: dict[str, Any]) -> Validator:
    max_length = field_spec["max"]

    def check(value: Any) -> FieldError | None:
        if not isinstance(value, str):
            return {"code": "not_text"}
        if has_forbidden_chars(value):
            return {"code": "bad_character"}
        return {"code": "too_long", "bound": max_length} if len(value) > max_length else None

    return check


# Most values of a tasting are numbers, so valid ones are accepted first, by exact type (which
# excludes booleans) and bounds.


def _number(field_spec: dict[str, Any]) -> Validator:
    low, high = field_spec["min"], field_spec["max"]

    def check(value: Any) -> FieldError | None:
        if type(value) not in (int, float) or not _finite(value):
            return {"code": "not_number"}
        return None if low <= value <= high else _outside(field_spec, value)

    return check


def _integer(field_spec: dict[str, Any]) -> Validator:
    low, high = field_spec["min"], field_spec["max"]

    def check(value: Any) -> FieldError | None:
        if type(value) is int and low <= value <= high:
            return None
        # NaN and infinity have the remainder NaN, which is true.
        if type(value) not in (int, float) or value % 1:
            return {"code": "not_integer"}
        return None if low <= value <= high else _outside(field_spec, value)

    return check


def _outside(field_spec: dict[str, Any], value: float) -> FieldError:
    if value < field_spec["min"]:
        return {"code": "too_low", "bound": field_spec["min"]}
    return {"code": "too_high", "bound": field_spec["max"]}


def _finite(value: float) -> bool:
    # A huge integer is finite in Python but infinite on the phone; the bounds reject it.
    return type(value) is int or math.isfinite(value)


def _flag(field_spec: dict[str, Any]) -> Validator:
    return lambda value: None if isinstance(value, bool) else {"code": "not_flag"}


def _one_of(allowed: frozenset[str]) -> Validator:
    def check(value: Any) -> FieldError | None:
        if not isinstance(value, str):
            return {"code": "not_choice"}
        return None if value in allowed else {"code": "unknown_choice"}

    return check


def _choice(field_spec: dict[str, Any]) -> Validator:
    return _one_of(frozenset(spec.vocabulary(field_spec["of"])))


def _style(field_spec: dict[str, Any]) -> Validator:
    return _one_of(frozenset(spec.vocabulary("style")))


def _capitals(count: int) -> Callable[[dict[str, Any]], Validator]:
    pattern = re.compile(f"[A-Z]{{{count}}}")

    def check(value: Any) -> FieldError | None:
        if not isinstance(value, str):
            return {"code": "not_choice"}
        return None if pattern.fullmatch(value) else {"code": "unknown_choice"}

    return lambda field_spec: check


def _list_of(
    field_spec: dict[str, Any], entry_check: Validator, key: Callable[[str], str]
) -> Validator:
    max_items = field_spec["max"]

    def check(value: Any) -> FieldError | None:
        if not isinstance(value, list):
            return {"code": "not_list"}
        if len(value) > max_items:
            return {"code": "too_many", "bound": max_items}
        seen: set[str] = set()
        for entry in value:
            error = entry_check(entry)
            if error is not None:
                return error
            if key(entry) in seen:
                return {"code": "repeated"}
            seen.add(key(entry))
        return None

    return check


def _choices(field_spec: dict[str, Any]) -> Validator:
    return _list_of(field_spec, _choice(field_spec), lambda entry: entry)


def _with_strengths(ids: Iterable[str]) -> frozenset[str]:
    """Return each id alone and with the strengths 1 to 3."""
    return frozenset(f"{one}{strength}" for one in ids for strength in ("", ":1", ":2", ":3"))


def _graded(field_spec: dict[str, Any]) -> Validator:
    check = _one_of(_with_strengths(spec.vocabulary(field_spec["of"])))
    return _list_of(field_spec, check, lambda entry: entry.partition(":")[0])


def _aromas(field_spec: dict[str, Any]) -> Validator:
    known = _with_strengths(spec.vocabulary("aroma"))

    def check(entry: Any) -> FieldError | None:
        if not isinstance(entry, str):
            return {"code": "not_choice"}
        if not entry.startswith("~"):
            return None if entry in known else {"code": "unknown_choice"}
        if has_forbidden_chars(entry):
            return {"code": "bad_character"}
        if len(entry) == 1:
            return {"code": "unknown_choice"}
        return (
            {"code": "too_long", "bound": CUSTOM_AROMA_MAX}
            if len(entry) > CUSTOM_AROMA_MAX + 1
            else None
        )

    return _list_of(
        field_spec, check, lambda entry: entry if entry.startswith("~") else entry.partition(":")[0]
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


def _date(field_spec: dict[str, Any]) -> Validator:
    return lambda value: None if isinstance(value, str) and _is_day(value) else {"code": "not_date"}


def _timestamp(field_spec: dict[str, Any]) -> Validator:
    def check(value: Any) -> FieldError | None:
        parts = _TIMESTAMP.fullmatch(value) if isinstance(value, str) else None
        return None if parts is not None and _is_day(parts[1]) else {"code": "not_moment"}

    return check


def _ref(field_spec: dict[str, Any]) -> Validator:
    return lambda value: None if is_id(value) else {"code": "not_id"}


def _refs(field_spec: dict[str, Any]) -> Validator:
    return _list_of(field_spec, _ref(field_spec), lambda entry: entry)


def _gtin(field_spec: dict[str, Any]) -> Validator:
    """Check the digits with weights 3, 1 from the right (GS1 General Specifications).

    The weighted sum, including the check digit, must be a multiple of ten.
    """

    def check(value: Any) -> FieldError | None:
        if not isinstance(value, str) or not _GTIN.fullmatch(value):
            return {"code": "not_gtin"}
        weighted = sum(
            int(digit) * (3 if place % 2 else 1) for place, digit in enumerate(reversed(value))
        )
        return {"code": "bad_check_digit"} if weighted % 10 else None

    return check


_MAKERS: dict[str, Callable[[dict[str, Any]], Validator]] = {
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
    "moment": _timestamp,
    "aromas": _aromas,
    "graded": _graded,
    "ref": _ref,
    "refs": _refs,
    "gtin": _gtin,
}
