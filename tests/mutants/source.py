"""Mutants of one file: position, text, and how to apply them to the syntax tree."""

from __future__ import annotations

import ast
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from types import CodeType
from typing import Any

from tests.mutants.changes import changes

# Not mutated, because only people or type checkers read it.
UNREAD_KEYWORDS = {"strict", "metadata", "description", "encoding"}
UNREAD_FIELDS = {"annotation", "returns", "format_spec", "type_params"}
TELLING = {"debug", "info", "warning", "error", "exception"}
FUNCTIONS = (ast.FunctionDef, ast.AsyncFunctionDef, ast.Lambda)


@dataclass(frozen=True, slots=True)
class Mutant:
    """One change of a file. `swap`: it is in a function, so that its code can be replaced."""

    file: str
    first: int
    last: int
    line: str
    before: str
    after: str
    swap: bool
    put: Callable[[], None]

    def __str__(self) -> str:
        return f"{self.file}:{self.first}  {self.change}"

    @property
    def change(self) -> str:
        return f"{self.before}  ->  {self.after}"

    @property
    def key(self) -> tuple[str, str, str, str]:
        """Identify the mutant independently of line numbers."""
        return (self.file, self.line, self.before, self.after)


@dataclass(slots=True)
class Source:
    """Syntax tree of a file and its mutants, which modify the tree."""

    path: Path
    tree: ast.Module
    mutants: list[Mutant]

    def code(self) -> CodeType:
        return compile(self.tree, str(self.path), "exec", dont_inherit=True)


def read_source(path: Path, name: str) -> Source:
    """Parse a file and find all its mutants, in source order."""
    text = path.read_text("utf-8")
    tree = ast.parse(text)
    return Source(path, tree, [*_Finder(name, text.splitlines()).walk(tree, False, (1, 1))])


class _Finder:
    def __init__(self, name: str, lines: list[str]) -> None:
        self.name = name
        self.lines = lines

    def walk(self, node: ast.AST, inside: bool, span: tuple[int, int]) -> Iterator[Mutant]:
        for field, value in ast.iter_fields(node):
            if field in UNREAD_FIELDS:
                continue
            within = inside or (isinstance(node, FUNCTIONS) and field == "body")
            children = value if isinstance(value, list) else [value]
            for place, child in enumerate(children):
                if not isinstance(child, ast.AST) or _unread(node, field, place, child):
                    continue
                current, at = (value, place) if isinstance(value, list) else (node, field)
                reached = _span(child, span)
                for new in changes(child):
                    yield self._mutant(child, new, within, reached, (current, at))
                yield from self.walk(child, within, reached)

    def _mutant(
        self, old: ast.AST, new: ast.AST, swap: bool, span: tuple[int, int], place: tuple[Any, Any]
    ) -> Mutant:
        value, at = place

        def put() -> None:
            if isinstance(value, list):
                value[at] = new
            else:
                setattr(value, at, new)

        first = getattr(old, "lineno", span[0])
        line = self.lines[first - 1].strip()
        return Mutant(self.name, first, span[1], line, _head(old), _head(new), swap, put)


def _head(node: ast.AST) -> str:
    return ast.unparse(node).strip().split("\n")[0]


def _span(node: ast.AST, around: tuple[int, int]) -> tuple[int, int]:
    """Return the lines whose tests are run: a statement's own, or the head of a compound one."""
    if not isinstance(node, ast.stmt):
        return around
    body = getattr(node, "body", None)
    end = body[0].lineno - 1 if body else node.end_lineno or node.lineno
    return (node.lineno, max(node.lineno, end))


def _unread(parent: ast.AST, field: str, place: int, child: ast.AST) -> bool:
    """Return whether the child has no effect at run time."""
    if isinstance(child, ast.Expr) and isinstance(child.value, ast.Constant):
        return True
    if isinstance(child, ast.Import | ast.ImportFrom | ast.Assert):
        return True
    if isinstance(child, ast.keyword):
        return child.arg in UNREAD_KEYWORDS
    if isinstance(child, ast.Raise):
        return "AssertionError" in ast.unparse(child)
    if isinstance(child, ast.If):
        return ast.unparse(child.test) == "TYPE_CHECKING"
    if field == "decorator_list":
        return "dataclass" in ast.unparse(child)
    if isinstance(parent, ast.Subscript):
        text = isinstance(child, ast.Constant) and isinstance(child.value, str)
        return field == "slice" and (text or ast.unparse(parent.value) == "Literal")
    return field in ("args", "exc") and isinstance(parent, ast.Call) and _message(parent, child)


def _message(call: ast.Call, child: ast.AST) -> bool:
    """Return whether the child is a message: a text with a space in an error or log call."""
    name = call.func.attr if isinstance(call.func, ast.Attribute) else ast.unparse(call.func)
    text = isinstance(child, ast.JoinedStr) or (
        isinstance(child, ast.Constant) and isinstance(child.value, str) and " " in child.value
    )
    return text and (name in TELLING or name.endswith(("Error", "WeakPassphrase", "NameTaken")))
