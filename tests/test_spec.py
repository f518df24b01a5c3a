"""Loader of the data files: inconsistencies prevent the start and are located in the error."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from webapp import create_app, spec
from webapp.errors import StartupError

VALID = {
    "record": {
        "deleted_kept_days": 9,
        "kinds": {"visit": {"fields": {"name": {"type": "text", "max": 9}}}},
    },
    "vocabularies": {"vocabularies": {"scale": ["body"]}, "from_files": {}},
}


@pytest.fixture
def files(monkeypatch: pytest.MonkeyPatch) -> Iterator[dict[str, Any]]:
    """Replace the data files by dictionaries that a test can change."""
    given: dict[str, Any] = {name: {**entry} for name, entry in VALID.items()}
    with monkeypatch.context() as patch:
        patch.setattr(spec, "load", given.__getitem__)
        spec.vocabulary.cache_clear()
        yield given
    spec.vocabulary.cache_clear()


def test_each_answer_of_a_sheet_belongs_to_one_step() -> None:
    own = {"group_tasting", "glass", "guest", "tasted_at", "left_out", "example"}
    own |= {f"done_{step}" for step in spec.vocabulary("group_step")}
    asked = [name for step in spec.load("group_steps")["steps"] for name in step["fields"]]
    assert sorted(asked) == sorted(set(spec.kinds()["sheet"]) - own)
    assert [step["id"] for step in spec.load("group_steps")["steps"]] == list(
        spec.vocabulary("group_step")
    )


def field(**line: Any) -> dict[str, Any]:
    return {"deleted_kept_days": 9, "kinds": {"visit": {"fields": {"name": line}}}}


def test_specification_files_agree() -> None:
    spec.check()


def test_valid_files_agree(files: dict[str, Any]) -> None:
    spec.check()


@pytest.mark.parametrize(
    "line",
    [
        {"type": "moon"},
        {"type": "text"},
        {"type": "number", "min": 0},
        {"type": "choice", "of": "moons"},
        {"type": "choices", "of": "scale"},
        {"type": "ref", "kind": "moon"},
        {"type": "refs", "kind": "visit"},
        {"type": "refs", "kind": "moon", "max": 3},
    ],
)
def test_invalid_field_line_is_named(files: dict[str, Any], line: dict[str, Any]) -> None:
    files["record"] = field(**line)
    with pytest.raises(spec.SpecError, match=r"visit\.name|'moons'"):
        spec.check()


@pytest.mark.parametrize("ids", [[], ["body", "body"]])
def test_an_empty_or_repeating_list_is_named(files: dict[str, Any], ids: list[str]) -> None:
    files["vocabularies"] = {"vocabularies": {"scale": ids}, "from_files": {}}
    with pytest.raises(spec.SpecError, match="'scale'"):
        spec.check()


def test_missing_or_invalid_file_is_a_one_line_error(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(spec, "static_root", lambda: tmp_path)
    spec.load.cache_clear()
    spec.vocabulary.cache_clear()
    with pytest.raises(StartupError, match=r"vocabularies\.json is missing"):
        create_app({"CHECK_DATABASE": False})
    (tmp_path / "spec").mkdir()
    (tmp_path / "spec" / "vocabularies.json").write_text("{")
    with pytest.raises(StartupError, match=r"vocabularies\.json is not JSON"):
        create_app({"CHECK_DATABASE": False})
    spec.load.cache_clear()


@pytest.mark.parametrize("days", [None, 0, -1, "30"])
def test_deleted_records_must_be_kept_for_days(files: dict[str, Any], days: object) -> None:
    files["record"] = VALID["record"] | {"deleted_kept_days": days}
    with pytest.raises(spec.SpecError, match="deleted_kept_days"):
        spec.check()


def test_aroma_family_may_share_the_name_of_its_word() -> None:
    words = spec.vocabulary("aroma")
    assert len(set(words)) == len(words)
    assert {"citrus", "lemon", "gooseberry"} <= set(words)
