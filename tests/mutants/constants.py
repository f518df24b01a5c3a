"""Mutants of module constants, put in place without a new import of the server."""

from __future__ import annotations

import ast
import re
import sys
from collections.abc import Iterable
from types import FunctionType, ModuleType

from tests.mutants.source import Mutant, Source

OWN = ("webapp", "tests")
PLAIN = (int, float, str, bytes, re.Pattern, FunctionType, type(None))


def named_constant(mutant: Mutant, source: Source) -> str | None:
    """Return the name of the constant that the mutant changes, or None if it changes none."""
    statement = _statement(mutant, source)
    if isinstance(statement, ast.Assign) and len(statement.targets) == 1:
        target: ast.expr = statement.targets[0]
    elif isinstance(statement, ast.AnnAssign) and statement.value is not None:
        target = statement.target
    else:
        return None
    return target.id if isinstance(target, ast.Name) else None


def exchange_constant(mutant: Mutant, source: Source) -> bool:
    """Replace the constant in all modules that have it; the mutant is already in the tree.

    Return False if its value is not plain data. A value that another constant, a default or a
    parametrized test was made from stays as it was.
    """
    name, statement = named_constant(mutant, source), _statement(mutant, source)
    home = _module_of(str(source.path))
    if name is None or home is None or not isinstance(statement, ast.Assign | ast.AnnAssign):
        return False
    assert statement.value is not None
    old = vars(home)[name]
    if not _is_plain(old):
        return False
    code = compile(ast.Expression(statement.value), str(source.path), "eval")
    new = eval(code, vars(home))
    for module in _own_modules():
        if vars(module).get(name) is old:
            setattr(module, name, new)
    return True


def _statement(mutant: Mutant, source: Source) -> ast.stmt | None:
    for statement in source.tree.body:
        if statement.lineno <= mutant.first <= (statement.end_lineno or statement.lineno):
            return statement
    return None


def _is_plain(value: object) -> bool:
    if isinstance(value, dict):
        return all(_is_plain(one) for pair in value.items() for one in pair)
    if isinstance(value, list | tuple | set | frozenset):
        return all(_is_plain(one) for one in value)
    return isinstance(value, PLAIN)


def _own_modules() -> Iterable[ModuleType]:
    return [
        module
        for name, module in list(sys.modules.items())
        if name.split(".")[0] in OWN and isinstance(module, ModuleType)
    ]


def _module_of(path: str) -> ModuleType | None:
    return next((one for one in _own_modules() if getattr(one, "__file__", None) == path), None)
