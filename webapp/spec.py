"""The data files of `static/spec`, which client and server share; each is read once.

`load("record")` returns the parsed JSON of `static/spec/record.json`. `check()` compares the files
with each other and raises `SpecError` with the file and the wrong entry, so that an inconsistent
spec stops the start.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

PACKAGE = Path(__file__).resolve().parent

FIELD_TYPES = frozenset(
    [
        "text",
        "number",
        "integer",
        "choice",
        "choices",
        "style",
        "country",
        "currency",
        "date",
        "moment",
        "aromas",
        "graded",
        "ref",
        "refs",
        "flag",
        "gtin",
    ]
)
BOUNDED_TYPES = {
    "text": ("max",),
    "number": ("min", "max"),
    "integer": ("min", "max"),
    "choices": ("max",),
    "aromas": ("max",),
    "graded": ("max",),
    "refs": ("max",),
}


class SpecError(Exception):
    """A data file is missing, is not JSON, or disagrees with another."""


def _root(name: str) -> Path:
    bundled = PACKAGE / "bundled" / name
    return bundled if bundled.is_dir() else PACKAGE.parent / name


def static_root() -> Path:
    """Return the client's folder: inside an installed package, else next to it in the sources."""
    return _root("static")


def example_root() -> Path:
    """Return the folder of the example notebook."""
    return _root("demo_data")


@cache
def load(name: str) -> Any:
    """Return the parsed `static/spec/<name>.json`. Callers must not change it."""
    path = static_root() / "spec" / f"{name}.json"
    try:
        return json.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        raise SpecError(
            f"{path} is missing; restore it from the source or install the package again"
        ) from None
    except ValueError as error:
        raise SpecError(f"{path} is not JSON: {error}") from None


def kinds() -> dict[str, dict[str, dict[str, Any]]]:
    """Return kind -> field name -> the field's spec."""
    entries = load("record")["kinds"]
    return {kind: entry["fields"] | _shared(entry, entries) for kind, entry in entries.items()}


def _shared(entry: dict[str, Any], entries: dict[str, Any]) -> dict[str, dict[str, Any]]:
    """Return the fields that a kind has in common with the kind named by `fields_of`."""
    fields = entries[entry["fields_of"]]["fields"] if "fields_of" in entry else {}
    return {name: one for name, one in fields.items() if name not in entry["without"]}


def deleted_kept_days() -> int:
    """Return for how many days a deleted record keeps its values and can be restored."""
    days: int = load("record")["deleted_kept_days"]
    return days


@cache
def vocabulary(name: str) -> tuple[str, ...]:
    """Return the ids of a vocabulary, in order, from vocabularies.json or from its own file."""
    lists = load("vocabularies")
    if name in lists["vocabularies"]:
        return tuple(lists["vocabularies"][name])
    if name not in lists["from_files"]:
        raise SpecError(f"vocabularies.json names no list '{name}'")
    return tuple(_FROM_FILE[name](load(Path(lists["from_files"][name]).stem)))


def _style_ids(document: Any) -> list[str]:
    return [style["style_id"] for style in document["styles"]]


def _hue_ids(document: Any) -> list[str]:
    return [hue["id"] for hue in document["hues"]]


def _aroma_ids(document: Any) -> list[str]:
    """Return the ids of families, then of their words, then former ids, without duplicates.

    Families are ids themselves, because a person may recognize only 'citrus'. A word may have the
    name of its family.
    """
    ids = [family["id"] for family in document["families"]]
    ids += [word for family in document["families"] for word in family["words"]]
    ids += document["same_as"]
    return list(dict.fromkeys(ids))


_FROM_FILE = {"style": _style_ids, "hue": _hue_ids, "aroma": _aroma_ids}


def check() -> None:
    """Raise SpecError if the files are inconsistent."""
    for name in [*load("vocabularies")["vocabularies"], *load("vocabularies")["from_files"]]:
        ids = vocabulary(name)
        if not ids or len(set(ids)) != len(ids):
            raise SpecError(f"the list '{name}' is empty or repeats an id")
    if not isinstance(days := load("record").get("deleted_kept_days"), int) or days < 1:
        raise SpecError("record.json: 'deleted_kept_days' must be a number of days")
    for kind, fields in kinds().items():
        for field, field_spec in fields.items():
            _check_field(f"record.json {kind}.{field}", field_spec)


def _check_field(where: str, field_spec: dict[str, Any]) -> None:
    if field_spec["type"] not in FIELD_TYPES:
        raise SpecError(f"{where}: no type '{field_spec['type']}'")
    for bound in BOUNDED_TYPES.get(field_spec["type"], ()):
        if bound not in field_spec:
            raise SpecError(f"{where}: '{bound}' is missing")
    if field_spec["type"] in ("choice", "choices", "graded"):
        vocabulary(field_spec["of"])
    if field_spec["type"] in ("ref", "refs") and field_spec["kind"] not in kinds():
        raise SpecError(f"{where}: no kind '{field_spec['kind']}'")
