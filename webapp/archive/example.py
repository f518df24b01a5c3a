"""The example notebook, with its texts in a language."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

from webapp import spec
from webapp.archive.parse import Archive, read_folder
from webapp.records.record import Record


def read_example(language: str) -> Archive:
    """Read the example; texts that a language does not have stay English. Raises InvalidArchive."""
    archive = read_folder(spec.example_root())
    words = _words(language)
    return replace(archive, records=lambda: (_in_words(one, words) for one in archive.records()))


def _in_words(record: Record, words: dict[str, str]) -> Record:
    types = spec.kinds()[record["kind"]]
    fields = {
        name: _translated(types.get(name, {}).get("type"), value, words)
        for name, value in record["fields"].items()
    }
    return {**record, "fields": fields}


def _words(language: str) -> dict[str, str]:
    """Return English text -> the language's; empty for English itself."""
    path = spec.example_root() / "words" / f"{language}.json"
    words: dict[str, str] = json.loads(path.read_text("utf-8")) if path.is_file() else {}
    return words


def _translated(type_: str | None, value: Any, words: dict[str, str]) -> Any:
    if type_ == "text":
        return words.get(value, value)
    if type_ == "aromas":
        return [words.get(one, one) if one.startswith("~") else one for one in value]
    return value
