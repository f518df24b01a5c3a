"""Views load and dump through the schemas that their decorators name."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

API = Path(__file__).parent.parent.parent / "webapp" / "api"
COMMON = (API / "http" / "common.py").read_text(encoding="utf-8")
VIEWS = [path for path in sorted(API.glob("*.py")) if "@operation(" in path.read_text("utf-8")]
# These responses are JSON text or a document that no schema builds.
WRITTEN_OTHERWISE = {"OpenApiSchema", "PalateSchema", "SyncAnswerSchema"}


def named_schemas(source: str, keyword: str) -> set[str]:
    """Return the schemas that the decorators of a module pass as `answers` or `body`."""
    items = [
        one.value
        for call in ast.walk(ast.parse(source))
        if isinstance(call, ast.Call) and getattr(call.func, "id", "") == "operation"
        for one in call.keywords
        if one.arg == keyword
    ]
    names = [n.id for value in items for n in ast.walk(value) if isinstance(n, ast.Name)]
    return {name for name in names if name.endswith("Schema")}


@pytest.mark.parametrize("path", VIEWS, ids=lambda path: path.stem)
def test_views_use_the_schemas_they_name(path: Path) -> None:
    source = path.read_text(encoding="utf-8")
    dumped = set(re.findall(r"\b(\w+Schema)\(\)\.dump\(", source + COMMON)) | WRITTEN_OTHERWISE
    loaded = set(re.findall(r"\bload\((\w+Schema)\(\)", source))
    assert named_schemas(source, "answers") - dumped == set()
    assert named_schemas(source, "body") - loaded == set()


def test_views_name_schemas() -> None:
    sources = [path.read_text(encoding="utf-8") for path in VIEWS]
    assert set().union(*(named_schemas(source, "answers") for source in sources)) >= {
        "MeSchema",
        "PhotoSchema",
        *WRITTEN_OTHERWISE,
    }
