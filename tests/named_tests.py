"""Lookup of the tests that a table in a guide names."""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parent.parent


@cache
def functions_of(file: str) -> frozenset[str]:
    """List the top-level functions of a test file; none if the file does not exist."""
    if not (ROOT / file).exists():
        return frozenset()
    tree = ast.parse((ROOT / file).read_text(encoding="utf-8"))
    return frozenset(node.name for node in tree.body if isinstance(node, ast.FunctionDef))
